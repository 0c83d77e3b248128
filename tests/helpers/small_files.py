"""A short route and a water layer as text. Invented: not for navigation."""

from __future__ import annotations

ROUTE = """<?xml version="1.0"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>R</name>
<trkseg><trkpt lat="-25.0" lon="130.0"/><trkpt lat="-25.0" lon="130.01"/>
<trkpt lat="-25.0" lon="130.02"/></trkseg></trk></gpx>
"""
WATER = "id,name,lat,lon,grade\nw1,Well,-25.0,130.01,potable\n"
GPX = """<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="invented">
<wpt lat="-25.125" lon="131.5"><name>Hollow</name></wpt>
<wpt lat="-25.225" lon="131.5"><name>Twin</name></wpt>
<wpt lat="-25.325" lon="131.5"><name>Twin</name></wpt>
<trk><name>way</name><trkseg>
<trkpt lat="-25.0" lon="131.0"/><trkpt lat="-25.0" lon="131.1"/><trkpt lat="-25.1" lon="131.1"/>
</trkseg></trk></gpx>
"""
