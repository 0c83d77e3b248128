"""The stops of a trip, and its days with drinking, light, sources and water carried."""

from __future__ import annotations

import dataclasses
import datetime as dt
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.clock.daylight import daylight, is_dark
from longdry.computing.fills.settled import SettledTrip
from longdry.computing.needs.needs import own_drinking_l
from longdry.computing.needs.rates import Amounts
from longdry.computing.plan.stop_minutes import minutes_by_stop
from longdry.computing.route.chainage import place_at_km
from longdry.computing.stretches.journey import Journey
from longdry.geodesy import leg_lengths_km
from longdry.model.plan.days import TravelDay
from longdry.model.plan.stops import PlannedStop
from longdry.model.plan.stretch import DryStretch
from longdry.model.water.passes import WaterPass
from longdry.units import HOURS_PER_DAY, MINUTES_PER_HOUR

CAMP_AT_KM = 1.0
"""How near a counted source (along the route) or a waypoint (as the crow flies) gives a camp its
name."""


def stops_of(settled: SettledTrip) -> tuple[PlannedStop, ...]:
    """Return the calls in travel order."""
    journey = settled.journey
    calls = zip(journey.ends[1:-1], journey.itinerary.stays, minutes_by_stop(settled), strict=True)
    return tuple(
        PlannedStop(
            waters=end.waters,
            km=end.km,
            arrive_h=stay.arrives.hour,
            wait_h=stay.wait_h,
            draw_min=draw_min,
            treat_min=treat_min,
            leave_h=stay.leaves.hour,
            nights=stay.nights,
            beside=end.beside,
        )
        for end, stay, (draw_min, treat_min) in calls
    )


def _km(water: WaterPass) -> float:
    return water.km


@dataclass(frozen=True, slots=True, eq=False)
class DayTable:
    """All that the days of a plan are told from."""

    journey: Journey
    counted: tuple[WaterPass, ...]
    """The passes that count, by km."""
    stretches: tuple[DryStretch, ...]
    """As filled."""

    def rows(self) -> tuple[TravelDay, ...]:
        """Return the days with everything that the plan knows of them."""
        first = self.journey.itinerary.leaves.day
        with_water = self._with_water([self._day(day) for day in self.journey.days[first:]])
        return tuple(self._in_light(day) for day in with_water)

    def _day(self, day: TravelDay) -> TravelDay:
        heat = self.journey.heat[day.number - 1] if self.journey.heat else None
        nights = 1.0 if day.camp else 0.0
        amounts = Amounts(1.0, nights, day.to_km - day.from_km, 1.0)
        measured_l = own_drinking_l(self.journey.trip, amounts)
        return dataclasses.replace(
            day,
            drinking_l=max(measured_l, heat.asks_l if heat else 0.0),
            heat_asks_l=heat.asks_l if heat else None,
            measured_l=measured_l,
            shade_max_c=heat.expected.shade_max_c if heat else None,
            sources=tuple(water.source.name for water in self._passed(day)),
            camp_name=self._camp_name(day) if day.camp else "",
        )

    def _passed(self, day: TravelDay) -> list[WaterPass]:
        """Return the counted passes of a day; one at its first km was passed the day before."""
        first = bisect_right(self.counted, day.from_km, key=_km)
        behind = bisect_right(self.counted, day.to_km, key=_km)
        at_start = [one for one in self.counted if one.km == 0.0] if day.number == 1 else []
        return [*at_start, *self.counted[first:behind]]

    def _camp_name(self, day: TravelDay) -> str:
        first = bisect_left(self.counted, day.to_km - CAMP_AT_KM, key=_km)
        behind = bisect_right(self.counted, day.to_km + CAMP_AT_KM, key=_km)
        near = [(abs(one.km - day.to_km), one.source.name) for one in self.counted[first:behind]]
        return min(near)[1] if near else self._waypoint_at(day.to_km)

    def _waypoint_at(self, km: float) -> str:
        measured = self.journey.prepared.measured
        waypoints = measured.route.waypoints
        if not waypoints:
            return ""
        lat_deg, lon_deg, _ = place_at_km(measured, km)
        places = [(point.lat_deg, point.lon_deg) for point in waypoints]
        lats, lons = np.array([(lat_deg, lon_deg, *place) for place in places]).reshape(-1, 2).T
        offsets_km = leg_lengths_km(lats, lons)[::2]
        nearest = int(offsets_km.argmin())
        return waypoints[nearest].name if offsets_km[nearest] <= CAMP_AT_KM else ""

    def _in_light(self, day: TravelDay) -> TravelDay:
        if day.date is None:
            return day
        prepared = self.journey.prepared
        lat_deg, lon_deg, _ = place_at_km(prepared.measured, day.to_km)
        sun = daylight(day.date, lat_deg=lat_deg, lon_deg=lon_deg, clocks=prepared.clocks)
        arrives = self._arrival(day)
        dark = arrives is not None and is_dark(
            arrives, lat_deg=lat_deg, lon_deg=lon_deg, clocks=prepared.clocks
        )
        return dataclasses.replace(
            day,
            sunrise=sun.sunrise,
            sunset=sun.sunset,
            arrives=arrives,
            arrives_after_dark=dark,
        )

    def _arrival(self, day: TravelDay) -> dt.datetime | None:
        """Return the local time of the day's last moving minute, to the minute."""
        if day.date is None or day.arrives_h is None:
            return None
        minutes = round((day.arrives_h - HOURS_PER_DAY * (day.number - 1)) * MINUTES_PER_HOUR)
        return dt.datetime.combine(day.date, dt.time()) + dt.timedelta(minutes=minutes)

    def _with_water(self, days: Sequence[TravelDay]) -> list[TravelDay]:
        if not self.journey.trip.containers:
            return list(days)
        used_l = [self._used_by(day) for day in days]
        before_l = [0.0, *used_l[:-1]]
        return [
            dataclasses.replace(day, used_l=now - before, on_board_l=self._left_at_end_of(day))
            for day, now, before in zip(days, used_l, before_l, strict=True)
        ]

    def _used_by(self, day: TravelDay) -> float:
        """Return what all stretches have used by the end of a day."""
        return sum(self._used_of(s, day) for s in self.stretches)

    def _used_of(self, stretch: DryStretch, day: TravelDay) -> float:
        """Return what a stretch has used by the end of a day; of one that runs dry, until then."""
        end_h = self._end_h(day)
        if end_h <= stretch.travel.begin_h:
            return 0.0
        carried_l, dry = stretch.on_board_l or 0.0, stretch.dry_on_way
        if dry:
            until_dry = stretch.travel.until(min(end_h, dry.hour))
            return min(self.journey.demand.need_l(stretch.ration_told, until_dry), carried_l)
        if end_h >= stretch.travel.end_h and stretch.left_l is not None:
            return max(carried_l - stretch.left_l, 0.0)
        used_l = self.journey.demand.need_l(stretch.ration_told, stretch.travel.until(end_h))
        return min(used_l, carried_l)

    def _left_at_end_of(self, day: TravelDay) -> float:
        """Return what is carried at the end of a day, in the stretch that is under way then.

        Where the water ran out: nothing, whatever is left that is not fit to drink.
        """
        begun = [s for s in self.stretches if s.travel.begin_h < self._end_h(day)]
        here = begun[-1] if begun else self.stretches[0]
        if here.runs_dry and here.runs_dry.hour <= self._end_h(day):
            return 0.0
        return max((here.on_board_l or 0.0) - self._used_of(here, day), 0.0)

    def _end_h(self, day: TravelDay) -> float:
        """Return midnight, or the end of the trip."""
        midnight_h = HOURS_PER_DAY * day.number
        return midnight_h if day.camp else max(midnight_h, self.journey.itinerary.arrives.hour)
