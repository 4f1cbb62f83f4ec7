"""Each pour of a scheme: how much to order, the day, and what is waited for afterwards.

`order_volume`, `pour` and `curing` hold the sums; here they meet one plot, one
scheme and one date.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from calculators.draws import ThreePoint
from calculators.order_volume import Against, Ordered, OrderTerms, PaidByUse, UncertainVolume
from calculators.pour import Crew, PourDay, Route, Weather
from calculators.sources import Sourced
from calculators.works import Check


@dataclass(frozen=True)
class Alternative:
    """Concrete that is paid by what comes out, weighed on the same draws: money, and the chance (0 to 1) that one visit, or one day, is not enough."""

    paid: PaidByUse
    expected_cost: float
    chance_of_second: float


@dataclass(frozen=True)
class Pour:
    """One pour: its task in the programme (`footing pour` or `slab pour`), its date, and all that belongs to it.

    `orders` are all orders that were weighed, `chosen` the cheapest of them;
    `against` holds it to net plus a tenth.  `weather_from` says whose weather
    it is.  Hours are of the clock.  `day` is None where it is too cold or too
    hot for times to be held; `checks` are then those of the weather.
    `crew_wanted` empties each lorry in its allowance, None where nobody could.
    `surface` is how it is finished; `saw_h` from and until which hour after
    midnight of the day of the pour joints are sawn, None where none are.
    `waits_days` has the shorter and the longer wait by the stages of
    `curing.STAGES`, `frost_days` those in which it must not freeze; both None
    below 0 degrees.  `covered_days` is how long it is kept wet or covered.
    """

    key: str
    name: str
    date: date
    net_m3: float
    area_m2: float
    thickness_m: float
    volume: UncertainVolume
    terms: OrderTerms
    orders: tuple[Ordered, ...]
    chosen: Ordered
    alternatives: tuple[Alternative, ...]
    against: Against
    crew: Crew
    route: Route
    weather: Weather
    weather_from: str
    sunrise_h: float
    sunset_h: float
    dusk_h: float
    day: PourDay | None
    checks: tuple[Check, ...]
    crew_wanted: Crew | None
    surface: str
    saw_h: tuple[float, float] | None
    waits_days: dict[str, tuple[float, float]] | None
    frost_days: tuple[float, float] | None
    covered_days: Sourced | None
    drying_days: ThreePoint
