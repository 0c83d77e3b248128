"""The days of a trip with their drinking, their light, their sources and their water on board."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.chainage import place_at_km
from longdry.computing.clock import Clock
from longdry.computing.daylight import daylight, is_dark
from longdry.computing.geodesy import leg_lengths_km
from longdry.computing.heat_by_day import DayOfHeat, as_drinking
from longdry.computing.needs import Amounts, own_drinking_l
from longdry.computing.used_by_now import share_used
from longdry.model.daylight import LocalTime
from longdry.model.dry_stretch import DryStretch
from longdry.model.fill import FillPlan
from longdry.model.route import MeasuredRoute
from longdry.model.travel_day import TravelDay
from longdry.model.trip import Trip
from longdry.model.water_pass import WaterPass
from longdry.units import HOURS_PER_DAY

CAMP_AT_KM = 1.0
"""How near a counted source (along the route) or a waypoint (as the crow flies) gives a camp its
name."""


@dataclass(frozen=True, slots=True, eq=False)
class DayTable:
    """All that the days of a plan are told from."""

    measured: MeasuredRoute
    trip: Trip
    clock: Clock
    clocks: LocalTime
    passes: tuple[WaterPass, ...]
    heat: tuple[DayOfHeat, ...]
    stretches: tuple[DryStretch, ...]
    fills: FillPlan | None

    def told(self, days: Sequence[TravelDay]) -> tuple[TravelDay, ...]:
        """Return the days with everything that the plan knows of them."""
        with_water = self._on_board([self._day(day) for day in days])
        return tuple(self._in_light(day) for day in with_water)

    def _day(self, day: TravelDay) -> TravelDay:
        heat = self.heat[day.number - 1] if self.heat else None
        nights = 1.0 if day.camp else 0.0
        measured_l = own_drinking_l(self.trip, Amounts(1.0, nights, day.to_km - day.from_km))
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
        return [
            water
            for water in self.passes
            if water.counted
            and (day.from_km < water.km <= day.to_km or (day.number == 1 and water.km == 0.0))
        ]

    def _camp_name(self, day: TravelDay) -> str:
        near = [
            (abs(water.km - day.to_km), water.source.name)
            for water in self.passes
            if water.counted and abs(water.km - day.to_km) <= CAMP_AT_KM
        ]
        return min(near)[1] if near else self._waypoint_at(day.to_km)

    def _waypoint_at(self, km: float) -> str:
        waypoints = self.measured.route.waypoints
        if not waypoints:
            return ""
        lat_deg, lon_deg, _ = place_at_km(self.measured, km)
        places = [(point.lat_deg, point.lon_deg) for point in waypoints]
        lats, lons = np.array([(lat_deg, lon_deg, *place) for place in places]).reshape(-1, 2).T
        offsets_km = leg_lengths_km(lats, lons)[::2]
        nearest = int(offsets_km.argmin())
        return waypoints[nearest].name if offsets_km[nearest] <= CAMP_AT_KM else ""

    def _in_light(self, day: TravelDay) -> TravelDay:
        if day.date is None:
            return day
        lat_deg, lon_deg, _ = place_at_km(self.measured, day.to_km)
        sun = daylight(day.date, lat_deg=lat_deg, lon_deg=lon_deg, clocks=self.clocks)
        arrives = None if day.rest else self._arrival(day)
        dark = arrives is not None and is_dark(
            arrives, lat_deg=lat_deg, lon_deg=lon_deg, clocks=self.clocks
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
        if day.date is None:
            return None
        begins_h = self.clock.moving.moved_by(HOURS_PER_DAY * (day.number - 1))
        if day.number == 1:
            begins_h = self.clock.moving.moved_by(self.clock.depart.hour)
        ended = self.clock.moving.moment_of(begins_h + day.moving_h)
        minutes = round((ended.hour - HOURS_PER_DAY * (day.number - 1)) * 60.0)
        return dt.datetime.combine(day.date, dt.time()) + dt.timedelta(minutes=minutes)

    def _on_board(self, days: Sequence[TravelDay]) -> list[TravelDay]:
        fills = self.fills
        if fills is None:
            return list(days)
        return [
            dataclasses.replace(
                day,
                used_l=sum(
                    self._used_l(fills, stretch, day) - self._used_l(fills, stretch, before)
                    for stretch in self.stretches
                ),
                on_board_l=self._left_l(fills, day),
            )
            for before, day in zip([None, *days[:-1]], days, strict=True)
        ]

    def _left_l(self, fills: FillPlan, day: TravelDay) -> float:
        """Return what is on board at the end of a day, in the stretch that it ends in."""
        here = max(s.number for s in self.stretches if s.begin.km <= day.to_km) - 1
        used_l = self._used_l(fills, self.stretches[here], day)
        return max(fills.fills[here].leaving.total_l - used_l, 0.0)

    def _used_l(self, fills: FillPlan, stretch: DryStretch, day: TravelDay | None) -> float:
        """Return what has gone of a stretch's water by the end of a day."""
        if day is None:
            return 0.0
        outcome = fills.outcomes[stretch.number - 1]
        last_h = HOURS_PER_DAY * day.number - self.clock.depart.hour
        if not day.camp:
            last_h = max(last_h, stretch.span.end_h)
        way_km = stretch.end.km - stretch.begin.km
        gone = (day.to_km - stretch.begin.km) / way_km if way_km > 0.0 else 1.0
        return outcome.used_l * share_used(
            stretch,
            self.trip,
            as_drinking(self.heat, self.clock),
            outcome.ration,
            by_h=last_h,
            share_of_way=min(max(gone, 0.0), 1.0),
            midnight_h=-self.clock.depart.hour,
        )
