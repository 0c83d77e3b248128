"""The folium map, made to work with no network."""
