"""What follows from the route, the sources and the trip: pure functions on the model."""
