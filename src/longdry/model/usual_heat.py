"""Usual figures of heat and effort, and the limits within which they are believed."""

from __future__ import annotations

from longdry.model.words import Travel

HOURS = 24.0
NIGHT_H = 12.0
"""The cooler half of the day."""
USUAL_HUMIDITY_PERCENT = 20.0
"""At the hottest hour; on the damp side for dry country (at 40 degrees a dew point of 13), so
that more is asked for. Common practice, no source."""
USUAL_DAY_RANGE_C = 12.0
"""Shade maximum less night minimum. Dry country often has 15 K and more; a smaller range means
a warmer night, so more is asked for. Common practice, no source."""
USUAL_SUN_EXCESS_C = 25.0
"""Mean radiant temperature in the sun less air temperature. Common practice, no source; a
radiation balance for a clear noon gives about 30 K, the hours around it less."""
USUAL_SHADE_EXCESS_C = 5.0
"""The same by day in shade beside hot ground; by night none. Common practice, no source."""
USUAL_BODY_MASS_KG = 75.0
"""The person of ISO 7933's check values."""
HOTTEST_SHADE_C = 60.0
"""Above every air temperature measured on Earth (WMO archive: 56.7 degrees; from memory)."""
HIGHEST_MET = 7.5
"""ISO 7933:2004 ends at 450 W/m2, 7.7 met."""
USUAL_MOVING_MET = {
    Travel.VEHICLE: 1.5,
    Travel.FOOT: 3.4,
    Travel.BICYCLE: 5.0,
}
"""Vehicle: ASHRAE 55, driving a car. Foot: about 200 W/m2, walking at 5 km/h, or at 4 km/h with
a pack of 10 to 15 kg (ISO 8996, from memory); ASHRAE 55 has 2.6 at 4.8 km/h and 3.8 at 6.4 km/h
without a load. Bicycle: loaded, on rough ground; common practice, no source."""
