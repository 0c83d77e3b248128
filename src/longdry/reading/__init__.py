"""From the user's files to the model; every complaint names file, place and mend."""
