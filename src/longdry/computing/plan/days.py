"""The days of a trip with their drinking, their light, their sources and their water on board."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from longdry.computing.clock.clock import Clock
from longdry.computing.clock.daylight import daylight, is_dark
from longdry.computing.heat.by_day import DayOfHeat, as_drinking
from longdry.computing.needs.needs import WaterDemand, own_drinking_l, share_used
from longdry.computing.needs.rates import Amounts
from longdry.computing.route.chainage import place_at_km
from longdry.geodesy import leg_lengths_km
from longdry.model.plan.days import LocalTime, TravelDay
from longdry.model.plan.fills import FillPlan
from longdry.model.plan.stretch import DryStretch
from longdry.model.route import MeasuredRoute
from longdry.model.trip.trip import Trip
from longdry.model.water.passes import WaterPass
from longdry.model.words import Ration
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

    def notes(self, days: Sequence[TravelDay]) -> tuple[TravelDay, ...]:
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
        asking = WaterDemand(self.trip, as_drinking(self.heat, self.clock))

        def used_l(stretch: DryStretch, day: TravelDay) -> float:
            outcome = fills.outcomes[stretch.number - 1]
            return outcome.used_l * self._share_used(stretch, day, asking, outcome.ration)

        return [
            dataclasses.replace(
                day,
                used_l=sum(
                    (
                        used_l(stretch, day) - (used_l(stretch, before) if before else 0.0)
                        for stretch in self._under_way(before, day)
                    ),
                    start=0.0,
                ),
                on_board_l=self._left_l(fills, day, used_l),
            )
            for before, day in zip([None, *days[:-1]], days, strict=True)
        ]

    def _under_way(self, before: TravelDay | None, day: TravelDay) -> list[DryStretch]:
        """Return the stretches of which a day uses water: begun by its end, not done before it."""
        return [
            stretch
            for stretch in self.stretches
            if self._is_begun(stretch, day) and not (before and self._is_done(stretch, before))
        ]

    def _is_begun(self, stretch: DryStretch, day: TravelDay) -> bool:
        return self._last_h(stretch, day) >= stretch.span.start_h or _gone(stretch, day) > 0.0

    def _is_done(self, stretch: DryStretch, day: TravelDay) -> bool:
        return self._last_h(stretch, day) >= stretch.span.end_h and _gone(stretch, day) >= 1.0

    def _left_l(
        self, fills: FillPlan, day: TravelDay, used_l: Callable[[DryStretch, TravelDay], float]
    ) -> float:
        """Return what is on board at the end of a day, in the stretch that it ends in."""
        here = max(s.number for s in self.stretches if s.begin.km <= day.to_km) - 1
        return max(fills.fills[here].leaving.total_l - used_l(self.stretches[here], day), 0.0)

    def _share_used(
        self, stretch: DryStretch, day: TravelDay, asking: WaterDemand, ration: Ration
    ) -> float:
        """Return the share of a stretch's water that has gone by the end of a day."""
        return share_used(
            stretch,
            asking,
            ration,
            by_h=self._last_h(stretch, day),
            share_of_way=_gone(stretch, day),
            midnight_h=-self.clock.depart.hour,
        )

    def _last_h(self, stretch: DryStretch, day: TravelDay) -> float:
        """Return the hours after departure at which a day ends, the last with the last stretch."""
        last_h = HOURS_PER_DAY * day.number - self.clock.depart.hour
        return last_h if day.camp else max(last_h, stretch.span.end_h)


def _gone(stretch: DryStretch, day: TravelDay) -> float:
    """Return the share of a stretch's way along the route that is gone by the end of a day."""
    way_km = stretch.end.km - stretch.begin.km
    gone = (day.to_km - stretch.begin.km) / way_km if way_km > 0.0 else 1.0
    return min(max(gone, 0.0), 1.0)
