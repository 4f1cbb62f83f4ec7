"""The day sheet of each pour to print on A4, and the same as lines on a terminal.

Both show the same words and tables.  A sheet is on paper, so it shows one unit
system: the scenario's.  Nothing is worked out here.
"""

from __future__ import annotations

import datetime
import math
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from calculators.compare import Comparison, SchemeResult
from calculators.crews import OUT_OF_REACH, TOO_FAR
from calculators.curing import RULES, STAGES
from calculators.job import Job
from calculators.order_volume import USUAL_DRAWS
from calculators.pour import (
    BLEEDING_KG_PER_M2H, COLDEST_DELIVERED_C, COLDEST_SETTING_C, DISCHARGE_H, HOTTEST_SETTING_C, bleeding_ends_h, power_float_wait_h,
)
from calculators.pours import BAGS, COLDEST_CURED_C, VOLUMETRIC, Pour
from calculators.pricing import rate_named
from calculators.sources import DOCUMENTS
from calculators.stand import RAFT_FCK_MPA
from calculators.weather import FROST_NIGHT_C
from calculators.works import Check
from generator.caution_words import caution_sentence
from generator.dates import date_words, short_date
from generator.display import (
    Shown, clock, count, duration, gradient, in_ascii, length, money, money_exact, number, order, quantity, temperature, volume,
)
from generator.drawings.pour_timeline import BRUSHED, FLOATED, POWER_FLOATED, TROWELLED, pour_timeline_svg
from generator.odds import odds_words
from generator.phrases import in_sentence, sentence
from generator.problems import listed
from generator.quantities import factor
from generator.setting_out_page import UNIT_WORDS
from generator.sheet_tables import Table, table_lines
from generator.templating import TO_ROOT, fill
from generator.text_table import LAST_WORDS, WIDTH

CAUTIONS = ("wet concrete", "lorry", "pump", "barrows", "trenches", "forms", "steel", "frost", "alone")
"""Cautions of the job that stand on the sheet of a pour, by their keys."""
TELEPHONES = ("Concrete supplier", "A second supplier", "Pump", "A helper who can come at once", "Building control", "Emergency", "Poison advice")
IN_ALLOWANCE = "Lorry empty in the time allowed"
"""The name of the check that is outside where waiting is charged."""
OLD_H = DISCHARGE_H.value
ONCE = 1.0 / USUAL_DRAWS


@dataclass(frozen=True)
class Part:
    """A heading of the sheet with its sentences, and its tables; `pairs` are what may happen and what to do, `steps` are numbered, `ticks` have a box each."""

    title: str
    words: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    ticks: tuple[str, ...] = ()

    @property
    def titled(self) -> bool:
        """Whether its heading is shown: a table alone has its own."""
        return bool(self.words or not self.tables)


@dataclass(frozen=True)
class PourSheet:
    """One pour in words, from the order to what is waited for afterwards."""

    key: str
    title: str
    verdict: str
    cautions: tuple[tuple[str, str], ...]
    drawing: str
    drawing_note: str
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class PourSummary:
    """One pour in short, in both unit systems: what to order, how often it runs short, the truth against net plus a tenth, the day, and what does not fit."""

    name: str
    date: str
    order: Shown
    short: str
    against: Shown
    day: str
    outside: tuple[Check, ...]


def file_name(result: SchemeResult, kind: str) -> str:
    """The name of a sheet's file beside the scenario's page; kind: html."""
    return f"pour-{result.id}.{kind}"


def pour_page(comparison: Comparison, result: SchemeResult, job: Job) -> str:
    """The whole HTML document: a sheet for each pour of a scheme."""
    scenario = comparison.scenario
    return fill(
        "pour_sheet", sheet_title="Day of the pour", result=result, scenario=scenario, unit_words=UNIT_WORDS[scenario.units], to_root=TO_ROOT,
        sheets=[(sheet, Markup(sheet.drawing)) for sheet in sheets_of(comparison, result, job)], telephones=TELEPHONES)


def pour_text(comparison: Comparison, result: SchemeResult, job: Job, ascii_only: bool = False) -> str:
    """The same as lines for a terminal, in the scenario's units.  `ascii_only` keeps to plain letters."""
    scenario = comparison.scenario
    lines = textwrap.wrap(f"{scenario.title}. Day of the pour: {in_sentence(result.title)}, in {UNIT_WORDS[scenario.units]}.", WIDTH)
    for sheet in sheets_of(comparison, result, job):
        lines += ["", sheet.title, "=" * len(sheet.title), *textwrap.wrap(sheet.verdict, WIDTH)]
        lines += ["", "Cautions"]
        for title, words in sheet.cautions:
            lines += textwrap.wrap(f"{title}: {words}", WIDTH)
        for part in sheet.parts:
            lines += ["", part.title] if part.titled else [""]
            for words in part.words:
                lines += textwrap.wrap(words, WIDTH)
            for table in part.tables:
                lines += table_lines(table)
            for what, then in part.pairs:
                lines += textwrap.wrap(f"{what}: {then}", WIDTH, subsequent_indent="  ")
            for mark, item in (*((f"{at}. ", step) for at, step in enumerate(part.steps, start=1)), *(("[ ] ", tick) for tick in part.ticks)):
                lines += textwrap.wrap(item, WIDTH, initial_indent=mark, subsequent_indent=" " * len(mark))
    text = "\n".join([*lines, "", LAST_WORDS]) + "\n"
    return in_ascii(text) if ascii_only else text


def pour_summary(comparison: Comparison, job: Job) -> tuple[PourSummary, ...]:
    """Every pour of a job in short, for the scenario's page."""
    return tuple(
        PourSummary(pour.name, date_words(pour.date), ordered_words(comparison, pour), short_words(pour.chosen.chance_short), against_words(comparison, pour),
                    " ".join((day_words(pour), waiting_words(pour, comparison.scenario.currency))).strip(), beyond_limits(pour))
        for pour in job.pours)


# In short.


def ordered_words(comparison: Comparison, pour: Pour, order_m3: float | None = None) -> Shown:
    """An order of concrete, m3, in the supplier's unit; the chosen one unless another is given."""
    rate = rate_named(comparison.scenario, "ready_mixed_concrete")
    return order((pour.chosen.order_m3 if order_m3 is None else order_m3) / rate.sale_unit_in_si, rate.sale_unit)


def short_words(chance: float) -> str:
    """How often an order runs short.

    >>> short_words(0.004), short_words(0.0), short_words(0.4), short_words(0.9)
    ('1 time in 250', 'not once in 2,000 tries', '4 times in 10', '9 times in 10')
    """
    if chance < ONCE / 2.0:
        return f"not once in {number(USUAL_DRAWS)} tries"
    if chance > 0.15:
        return odds_words(chance)
    times = round(1.0 / chance)
    return f"{'' if abs(times * chance - 1.0) < 1e-9 else 'about '}1 time in {number(times)}"


def against_words(comparison: Comparison, pour: Pour) -> Shown:
    """Which did better on draws spread wider than was assumed: the order that was chosen, or net plus a tenth."""
    against, currency = pour.against, comparison.scenario.currency
    habit = ordered_words(comparison, pour, against.rule_of_thumb.order_m3)
    if against.chosen.order_m3 == against.rule_of_thumb.order_m3:
        return habit.with_words("Net plus 10 % comes to the same, ", ".")
    tried = f"{number(USUAL_DRAWS)} volumes spread {against.spread:g} times as wide as was assumed"
    if against.better == "same":
        return habit.with_words("Net plus 10 % would be ", f"; on {tried}, both cost the same.")
    who = "this order" if against.better == "chosen" else "net plus 10 %"
    odds = f"short {short_words(against.chosen.chance_short)} against {short_words(against.rule_of_thumb.chance_short)} for net plus 10 %"
    return habit.with_words("Net plus 10 % would be ", f". On {tried}, {who} did better: {_difference(against.saves, currency)} less on average ({odds}).")


def beyond_limits(pour: Pour) -> tuple[Check, ...]:
    """What does not hold on the day.  A lorry that stands longer than it may costs money and spoils nothing, so it is not among these."""
    return tuple(check for check in pour.checks if check.verdict == "outside" and not check.name.startswith(IN_ALLOWANCE))


def waiting_words(pour: Pour, currency: str) -> str:
    """What the waiting of lorries costs; empty where none is charged."""
    if pour.day is None or pour.day.waiting_charge <= 0.0:
        return ""
    return f"Waiting is charged, about {money(pour.day.waiting_charge, currency)}."


def _difference(amount: float, currency: str) -> str:
    return money(abs(amount), currency) if abs(amount) >= 0.5 else f"less than {money(1.0, currency)}"


def day_words(pour: Pour) -> str:
    """The day in a sentence: who, from when to when."""
    new = ", new to it" if pour.crew.first_time else ""
    if pour.day is None:
        return f"{pour.people} people{new}. In such weather no times hold: take another day."
    first, last, done = (clock(hour) for hour in (pour.day.loads[0].arrives_h, pour.day.loads[-1].empty_h, pour.day.finished_h))
    finished = "" if pour.strikes_only else f", finished at {done}"
    return f"{pour.people} people{new}: first lorry at {first}, last concrete down at {last}{finished}."


# One sheet.


def sheets_of(comparison: Comparison, result: SchemeResult, job: Job) -> Iterator[PourSheet]:
    """The sheet of every pour of a job, in words."""
    for pour in job.pours:
        yield _Words(comparison, result, job, pour).sheet()


class _Words:
    """What one pour's sheet says, in the scenario's units."""

    def __init__(self, comparison: Comparison, result: SchemeResult, job: Job, pour: Pour):
        self.comparison, self.result, self.job, self.pour = comparison, result, job, pour
        self.scenario = comparison.scenario
        self.units, self.currency = self.scenario.units, self.scenario.currency
        self.raft = pour.fck_mpa == RAFT_FCK_MPA.value and not pour.strikes_only

    # Small things.

    def volume(self, m3: float) -> str:
        return volume(m3).of(self.units)

    def ordered(self, order_m3: float | None = None) -> str:
        return ordered_words(self.comparison, self.pour, order_m3).of(self.units)

    def money(self, amount: float) -> str:
        return money(amount, self.currency)

    def size(self, metres: float) -> str:
        return length(metres).of(self.units)

    def degrees(self, celsius: float) -> str:
        return temperature(celsius).of(self.units)

    def amount(self, value: float, unit: str) -> str:
        return quantity(value, unit).of(self.units)

    def on(self, days: float) -> str:
        """The date so many days after the pour, the part of a day counted whole."""
        return short_date(self.pour.date + datetime.timedelta(days=math.ceil(days - 1e-9)))

    def check(self, start: str) -> Check | None:
        return next((check for check in self.pour.checks if check.name.startswith(start)), None)

    def outside(self, start: str) -> bool:
        check = self.check(start)
        return check is not None and check.verdict == "outside"

    # The sheet.

    def sheet(self) -> PourSheet:
        pour = self.pour
        front = [self.order_part(), self.crew_part(), self.weather_part()]
        if pour.day is not None:
            front.append(self.clock_part())
        return PourSheet(
            key=pour.key.replace(" ", "-"), title=f"{pour.name}, {date_words(pour.date)}", verdict=self.verdict(), cautions=tuple(self.cautions()),
            drawing=pour_timeline_svg(pour, self.units, f"day-{pour.key.replace(' ', '-')}"),
            drawing_note=f"Bar: work. Pale part of a lorry's bar: its waiting is charged. Dashes: on the road. Thick mark: older than {duration(OLD_H)}, not to be used.",
            parts=(*front, *self.lists(), self.trouble_part(), *self.finish_parts(), self.after_part()))

    def verdict(self) -> str:
        pour = self.pour
        costs = self.outside(IN_ALLOWANCE)
        wrong = [in_sentence(check.name) for check in beyond_limits(pour)]
        close = [in_sentence(check.name) for check in pour.checks if check.verdict == "close"]
        words = [day_words(pour)]
        if wrong:
            words.append(f"As it stands this day does not work. Outside their limits: {'; '.join(wrong)}. What to change is said below.")
        if costs:
            words.append(waiting_words(pour, self.currency))
        if close:
            words.append(f"Close to a limit: {'; '.join(close)}.")
        if not (wrong or costs or close):
            words.append("Crew, clock, weather and light fit each other, on paper.")
        return " ".join(words)

    # What to order.

    def order_part(self) -> Part:
        pour, chosen, terms = self.pour, self.pour.chosen, self.pour.terms
        loads = [self.ordered(load) for load in chosen.loads_m3]
        lorries = "in one lorry" if len(loads) == 1 else f"in {len(loads)} lorries: {listed(loads, 'and')}; the last one can be changed by telephone"
        words = [
            f"Order {self.ordered()}, {lorries}. The drawing has {self.volume(pour.net_m3)}. On average {self.volume(pour.volume.mean_m3)} goes in: "
            f"{self.beyond_the_drawing()}.",
            f"It runs short {short_words(chosen.chance_short)}; on average {self.volume(chosen.expected_over_m3)} is left over. {self.why()}",
            against_words(self.comparison, pour).of(self.units),
            self.surplus(),
        ]
        words.append(self.instead())
        if self.scenario.schedule.invented:
            words.append("All prices here are invented. Put your own quotes in the file: they decide the order.")
        return Part("What to order, and why", tuple(words), (self.orders_table(terms),))

    def beyond_the_drawing(self) -> str:
        if self.pour.strikes_only:
            return "trench sides crumble, bottoms are dug too deep, and some stays in lorry and barrows"
        edge = "forms give, the edge is cut wider" if self.raft else "its edges stand a little out"
        return f"the bed lies a little low, {edge}, and some stays in lorry and barrows"

    def why(self) -> str:
        pour = self.pour
        joint = f"Running short is taken to cost {self.money(pour.terms.cold_joint)}"
        if pour.cold_joint is None:
            joint += ", as you say"
        else:
            cold = pour.cold_joint
            joint += (f", an assumption: {cold.people} people × {count(cold.kept_h)} h × {money_exact(cold.labourer_per_h, self.currency)}, and "
                      f"{count(cold.made_good_h)} h × {money_exact(cold.tradesman_per_h, self.currency)} to make the joint good")
        return f"{joint}. Of all orders this one costs least on average."

    def surplus(self) -> str:
        terms = self.pour.terms
        places = [f"{place.name} ({self.volume(place.room_m3)}, worth {self.money(place.worth_per_m3 * place.room_m3)} there)" for place in terms.places]
        assumed = " You have not said of any place, so this one is assumed: name yours in the file, or write none." if self.pour.place_assumed else ""
        shared = " What the footings have filled is no longer free." if len(self.job.pours) > 1 and not self.pour.strikes_only else ""
        away = rate_named(self.scenario, "rubble_away")
        into = f"What is left over goes into {', then '.join(places)}. Dig and shutter it before the day.{assumed}{shared} " if places else "You have no place for what is left over. "
        return (f"{into}What fits nowhere is broken up and carted: {money_exact(away.likely, self.currency)} for each {away.sale_unit.replace('^3', '³')}, loose.")

    def instead(self) -> str:
        words = []
        for other in self.pour.alternatives:
            dearer = other.expected_cost - self.pour.chosen.expected_cost
            difference = f"{_difference(dearer, self.currency)} {'dearer' if dearer > 0.0 else 'cheaper'} on average"
            if other.paid.name == VOLUMETRIC:
                words.append(f"A {VOLUMETRIC} is {difference}. You pay for what comes out, nothing is left over, and it is mixed as you need it, "
                             f"so none of it grows old on the road.")
            elif other.paid.name == BAGS:
                words.append(f"{sentence(BAGS)} is {difference}; it is a day's work for four, at most {self.volume(other.paid.most_m3)}.")
        return " ".join(words)

    def orders_table(self, terms) -> Table:
        pour, rows = self.pour, []
        habit_m3 = pour.against.rule_of_thumb.order_m3
        at = pour.orders.index(pour.chosen)
        near = pour.orders[max(0, at - 1):at + 2]
        for weighed in sorted({*near, *(found for found in pour.orders if abs(found.order_m3 - habit_m3) < 1e-9)}, key=lambda found: found.order_m3):
            name = "Ready-mixed"
            if weighed == pour.chosen:
                name += ", the order here"
            if abs(weighed.order_m3 - habit_m3) < 1e-9:
                name += ", net plus 10 %"
            rows.append((name, self.ordered(weighed.order_m3), self.money(weighed.expected_cost), sentence(short_words(weighed.chance_short))))
        for other in pour.alternatives:
            again = "a second visit" if other.paid.name == VOLUMETRIC else "a second day"
            rows.append((sentence(other.paid.name), "as used", self.money(other.expected_cost), f"{sentence(short_words(other.chance_of_second))}, {again}"))
        return Table("orders", "Orders weighed on the same volumes", ("", "Order", "On average", "Runs short"), tuple(rows),
                     "On average, with part-load charge, cold joints and what is left over; waiting is not in it.")

    # Who does it.

    def crew_part(self) -> Part:
        pour, crew = self.pour, self.pour.crew
        wheeling = f": {crew.barrows} with {'a barrow' if crew.barrows == 1 else 'barrows'}, {crew.placers}" if crew.barrows else ", all"
        who = f"{wheeling} to spread, compact and level"
        people = f"{pour.people} people{who}{', a stand-in as you have not said' if self.scenario.pour.people is None else ''}." if pour.people > 1 else "One person. Nobody should pour alone."
        if self.scenario.pour.people == 1 and pour.people > 1:
            people = f"You wrote one person. Nobody can wheel and place at once, and nobody should pour alone: two are taken{who}."
        new = " They are new to it, so everything is taken to last twice as long." if crew.first_time else ""
        words = [
            people + new,
            f"{self.way()} Together that is {self.amount(pour.rate_m3_per_h, 'm3/h')}; {pour.held_up_by} is what holds it up.",
        ]
        return Part("Who does it", (*words, *self.enough()))

    def way(self) -> str:
        pour, route = self.pour, self.pour.route
        before = {
            TOO_FAR: f"The lorry stands {self.size(pour.run_m)} off, too far to wheel; a pump is taken. Price one: the bill has none unless you said so. ",
            OUT_OF_REACH: "The chute does not reach that far. ",
        }.get(pour.way_from, "")
        if route.way == "barrow":
            slope = "level" if abs(route.slope) < 1e-9 else gradient(route.slope)
            each = self.amount(pour.crew.barrow_m3 * float(factor("m**3", "liter")), "l")
            return f"{before}By barrow over boards, {self.size(route.length_m)} from the lorry, {slope}: {number(pour.trips)} trips of {each}."
        return before + ("By pump." if route.way == "pump" else "Straight down the chute of the lorry.")

    def enough(self) -> Iterator[str]:
        """Whether the crew is enough, and what would be."""
        pour = self.pour
        late = self.outside(IN_ALLOWANCE) or (pour.day is None and pour.crew_wanted is None)
        old = self.outside("Lorry empty before")
        if pour.day is not None:
            if late:
                wanted = "Nobody does it in that time this way: ask the supplier for longer."
                if pour.crew_wanted is not None:
                    wanted = f"It takes {self.crew_words(pour.crew_wanted)} to empty it in that time."
                yield (f"A lorry stands free for {duration(pour.allowance_h)}. After that waiting is charged, "
                       f"here about {self.money(pour.day.waiting_charge)}. {wanted}")
            else:
                yield f"Every lorry is empty in the {duration(pour.allowance_h)} that it stands free."
            if old:
                yield self.too_old()
            elif not late:
                yield "That is enough hands."
            else:
                yield f"Every lorry is empty before its concrete is {duration(OLD_H)} old. So these hands do, if you accept the waiting."
            if self.outside("Fresh concrete meets"):
                yield (f"Before fresh concrete meets it, the edge of what lies there gets {duration(pour.day.face_h)} old; "
                       f"from {duration(pour.day.join_by_h)} on a cold joint is likely. "
                       f"{'Lay the trench from one corner both ways, so that two short fronts meet.' if pour.strikes_only else 'Lay narrower strips across the short side, or get more hands.'}")

    def too_old(self) -> str:
        pour = self.pour
        begin = f"It is not enough. Concrete more than {duration(OLD_H)} from loading must not be used, and these hands place {self.volume(pour.in_time_m3)} by then."
        ways = []
        if pour.crew_in_time is not None:
            ways.append(self.crew_words(pour.crew_in_time))
        if pour.route.way != "pump" and pour.pump_crew is not None:
            ways.append(f"a pump and {pour.pump_crew.placers} to place")
        if pour.in_time_m3 >= pour.terms.least_m3:
            ways.append(f"loads of no more than {self.volume(pour.in_time_m3)}, each sent when the one before is nearly empty (part-load charges apply)")
        ways.append(f"a {VOLUMETRIC}")
        return f"{begin} Change one thing: {listed(ways, 'or')}."

    def crew_words(self, crew) -> str:
        return f"{crew.barrows} with {'a barrow' if crew.barrows == 1 else 'barrows'} and {crew.placers} to place" if crew.barrows else f"{crew.placers} to place"

    # The weather.

    def weather_part(self) -> Part:
        pour, weather = self.pour, self.pour.weather
        words = [
            f"Air {self.degrees(weather.air_c)}, humidity {number(100.0 * weather.humidity)} %, "
            f"wind {self.amount(weather.wind_m_per_s, 'm/s of wind')}, concrete {self.degrees(weather.concrete_c)}: "
            f"{pour.weather_from}. Put the forecast in the file a week before and again the day before, and print this again.",
        ]
        if not pour.strikes_only:
            dries = self.amount(weather.evaporation_kg_per_m2h, "kg/m2h")
            words.append(f"The fresh face loses {dries}; ordinary concrete sends up about {self.amount(BLEEDING_KG_PER_M2H.value, 'kg/m2h')}"
                         + (f", for about {duration(bleeding_ends_h(pour.thickness_m))}." if pour.day is not None else "."))
        for check in pour.checks:
            if check.verdict in ("outside", "close") and check.name.startswith(("Drying", "Cold", "Heat")):
                words.append(f"{check.name}: {check.verdict}. {check.sentence}")
        if pour.night_c <= FROST_NIGHT_C.value:
            words.append(f"Going by the month, nights then go down to about {self.degrees(pour.night_c)}. "
                         f"Have covers that insulate on site before you pour, or wait.")
        if pour.day is None:
            words.append("Finishing and setting times are held for air and concrete of "
                         f"{self.degrees(COLDEST_SETTING_C)} to {self.degrees(HOTTEST_SETTING_C)}. Outside that this sheet gives none: choose another day.")
        return Part("The weather", tuple(words))

    # The clock.

    def clock_part(self) -> Part:
        pour, day = self.pour, self.pour.day
        rows: list[tuple[float, str]] = [(pour.sunrise_h, "Sunrise"), (pour.dusk_h, "Dusk: lamps from here")]
        several = len(day.loads) > 1
        for at, load in enumerate(day.loads, start=1):
            lorry = f"Lorry {at}" if several else "The lorry"
            follows = at > 1 and abs(load.arrives_h - day.loads[at - 2].empty_h) < 1e-6
            rows.append((load.arrives_h, f"{lorry} at the gate, {self.ordered(load.load_m3)}" + (f"; lorry {at - 1} empty" if follows else "")))
            if load.starts_h > load.arrives_h + 1e-6:
                rows.append((load.starts_h, f"{lorry} begins to empty"))
            if pour.free_until_h(load) < load.empty_h - 1e-6:
                rows.append((pour.free_until_h(load), f"{lorry}: from here waiting is charged"))
            if pour.too_old_h(load) < load.empty_h - 1e-6:
                rows.append((pour.too_old_h(load), f"{lorry}: what is still in it is too old; send it away"))
            if at == len(day.loads):
                rows.append((load.empty_h, f"{lorry} empty: the last concrete is down"))
            elif abs(day.loads[at].arrives_h - load.empty_h) >= 1e-6:
                rows.append((load.empty_h, f"{lorry} empty"))
        if not pour.strikes_only:
            rows += self.finishing_rows()
        if pour.saw_h is not None:
            rows += [(pour.saw_h[0], "Saw the joints from here"), (pour.saw_h[1], "Joints sawn at the latest")]
        rows.sort(key=lambda row: row[0])
        note = "For planning, to five minutes. The concrete says when it is ready. Clock of the place, summer time from April to October"
        note += "." if self.scenario.pour.latitude_deg is not None else "; sun in the middle of the region, an assumption."
        return Part("By the clock", (), (Table("clock", "By the clock", ("What", "When"),
                                               tuple((words, clock(hour)) for hour, words in rows), note),))

    def finishing_rows(self) -> Iterator[tuple[float, str]]:
        pour, day = self.pour, self.pour.day
        yield day.first_float_h, "First part: float by hand, once the water is gone"
        yield day.float_h, "Last part: float by hand"
        if pour.surface == POWER_FLOATED:
            yield day.power_float_h, "Last part: power float may go on"
        if pour.surface in (TROWELLED, POWER_FLOATED):
            yield day.trowel_h, "Last part: first trowelling"
        yield day.finished_h, {BRUSHED: "Last part: brushed, done", FLOATED: "Last part: floated again, done"}.get(pour.surface, "Last trowelling over; cover it")

    # Lists to tick.

    def lists(self) -> Iterator[Part]:
        pour, barrow, pump = self.pour, self.pour.route.way == "barrow", self.pour.route.way == "pump"
        yield Part("The days before", ticks=tuple(filter(None, (
            f"{self.ordered()} ordered in the words of the order list, for {clock(pour.day.loads[0].arrives_h) if pour.day else 'the morning'}; "
            f"asked what waiting costs and how long is free",
            "Inspection passed and written down; nothing is covered before",
            "Pump booked; where it stands, level and clear of wires" if pump else "",
            "Way of the lorry walked: width, height, wires, soft ground, covers",
            "Place for what is left over dug and shuttered",
            "Trench cleaned from outside, pegs at the top of the concrete" if pour.strikes_only else "Levels of forms checked from the bench mark; forms braced" if self.raft
            else "Level of the floor marked on the walls from the bench mark; screed rails set; walls propped where fill pushes",
            "" if pour.strikes_only else "Membrane whole, steel on its spacers and tied, ducts and bolts in place",
            f"{pour.crew.barrows} barrows with hard tyres; boards over the whole run, two wide" if barrow else "",
            "Rakes, shovels, tamping beam longer than the strip, floats, hose, buckets" if not pour.strikes_only else "Rakes, shovels, tamper, float, hose, buckets",
            self.surface_tools(),
            "Waterproof gloves, boots above the pour, eye protection for everybody; clean water",
            "Sheets to cover all of it, battens and weights; a stop board ready to nail in",
        ))))
        yield Part("That morning", ticks=tuple(filter(None, (
            "Forecast looked at again; if in doubt, telephone before the lorry is loaded",
            "No ice, no standing water; bed, trench or forms damp but not wet",
            "Everybody knows their place; one person guides the lorry and stops it",
            "Children and animals away; a place to wash out the lorry and the tools, away from drains",
            "Telephones charged; somebody who is not in the pour can answer",
        ))))
        yield Part("While you pour", ticks=tuple(filter(None, (
            "Ticket read before anything comes out: amount, strength, time of loading",
            "No water added, whoever offers it",
            "Placed against what is there, not thrown; worked well into corners and round steel",
            "Nobody in a trench whose sides could fall in" if pour.strikes_only else "Forms watched by one person who does nothing else" if self.raft
            else "Strip or edge board stays up all round; no board or sheet floats",
            "After half of it: measure what is still to be filled, and telephone the last load bigger or smaller" if len(pour.chosen.loads_m3) > 1 else
            "At three quarters: measure what is still to be filled, and know where the end is",
        ))))
        yield Part("Before you go home", ticks=tuple(filter(None, (
            "Surplus in its place and levelled",
            "Bolts, straps and starters straight; levels checked once more",
            "Covered, edges too, sheet weighed down; fenced",
            "Tools, barrows and boots washed, wash water kept out of drains",
            "Written down: hour of each load, weather, who came, what went wrong",
        ))))

    def surface_tools(self) -> str:
        if self.pour.strikes_only:
            return ""
        return {
            BRUSHED: "Soft broom, as wide as you can draw in one go", FLOATED: "Bull float and wood float; kneeling boards",
            TROWELLED: "Bull float, wood float, steel trowel; kneeling boards",
            POWER_FLOATED: "Power float hired (not in the bill), started once and fuelled; steel trowel for edges; kneeling boards"}[self.pour.surface]

    # When it goes wrong.

    def trouble_part(self) -> Part:
        pour, floor = self.pour, not self.pour.strikes_only
        rows = [
            ("Rain is forecast", "Put it off the day before. Nothing is poured onto standing water."),
            ("Rain while you pour", "Cover what is placed, on battens. Drag water off before you float; never work it in, never throw cement on." if floor
             else "Bail the trench dry first. Cover what is placed."),
            ("Sun, heat or wind", "Damp the bed and forms, no puddles. Windbreak on the windy side. Cover between passes." if floor
             else "Damp the trench, no puddles. Cover it with wet sacking."),
            ("Cold", self.cold()),
            ("The first lorry is late", self.late()),
            ("A gap between lorries", self.gap()),
            ("Too little concrete", self.short()),
            ("Too much", f"Into {pour.terms.places[0].name if pour.terms.places else 'its place'}. Never a skin over the slab." if floor
             else f"Into {pour.terms.places[0].name if pour.terms.places else 'its place'}. Never higher than the pegs."),
            ("It stiffens in the lorry", "Refuse it. Water brings back the look, not the strength."),
            ("A form moves", "Stop pouring there. Nobody pushes it back. Shore it, let that part stiffen, go on elsewhere.") if floor
            else ("A side falls in", "Everybody out, and stay out. Take the earth out of the concrete before it sets, from outside."),
        ]
        return Part("When it goes wrong", pairs=tuple(rows))

    def cold(self) -> str:
        pour = self.pour
        words = f"Not under {self.degrees(COLDEST_DELIVERED_C.value)} and falling, and never on frozen ground. Covers that insulate"
        if pour.frost_days is not None:
            return f"{words}, for {self.amount(float(math.ceil(pour.frost_days[1] - 1e-9)), 'day')} at the least: until then it must not freeze."
        return f"{words} until it has hardened; in such cold it does not."

    def late(self) -> str:
        pour = self.pour
        if pour.day is None:
            return "Send it away if it cannot be finished by daylight."
        if pour.latest_first_h < pour.day.loads[0].arrives_h:
            return f"You are short of daylight already. Ask for {clock(pour.latest_first_h)}, or for another day."
        return f"Up to {clock(pour.latest_first_h)} {'it is down' if pour.strikes_only else 'you finish'} before dusk. Later than that, send it away."

    def gap(self) -> str:
        pour = self.pour
        board = "Nail a stop board in, square and plumb; leave the face rough and clean. Where it may be: ask building control."
        if pour.day is None:
            return board
        by = clock(pour.join_until_h(pour.day.loads[0]))
        return f"Keep the edge covered and damp. What came first must be met by {by}. After that, a planned joint: {in_sentence(board)}"

    def short(self) -> str:
        if self.pour.strikes_only:
            return "Stop at a board across the trench, not at a corner or a step. Second load the same day, or a joint. Never thinner, never stretched with water."
        stop = "with steel through it" if self.raft else "where a joint would be"
        return f"Stop at a board {stop}. Second load at once, or a joint. Never thinner, never stretched with water."

    # Finish, and afterwards.

    def finish_parts(self) -> Iterator[Part]:
        pour = self.pour
        if pour.strikes_only:
            yield Part("The top of the footing", steps=(
                "Fill from one corner both ways, in one layer, up to the pegs.", "Work it into corners and under steps with a tamper.",
                "Level it with a float while it is wet: blocks will stand on it.", "Take the pegs out and fill their holes."))
            return
        wait = () if pour.day is None else (
            f"At this temperature a power float may go on about {duration(power_float_wait_h(pour.weather.air_c))} after placing; "
            "by then a foot leaves a print of a few millimetres.",)
        begin = ("Strike it off with the beam, two people, in a sawing motion. Fill low places, strike again.",
                 "Bull float at once, before water comes up. Then leave it alone.",
                 "Wait until the water is gone and the shine with it. A face closed on water scales and dusts.")
        ends = {
            BRUSHED: ("Float once by hand, edges first.", "Draw a damp soft broom across, one way, once, without stopping. Clean it between strokes."),
            FLOATED: ("Float by hand from kneeling boards, edges first.", "Float again when it firms up, until the face is even."),
            TROWELLED: ("Float by hand from kneeling boards, edges first.", "Trowel flat; then again, harder and steeper, each time it will take it. Stop when it rings."),
            POWER_FLOATED: ("Float the edges by hand, where the machine does not reach.", "Power float across, then along, overlapping by half. Then with the blades tilted a little.",
                            "Trowel edges and corners by hand. Stop before it burns dark."),
        }[pour.surface]
        whose = "" if self.scenario.pour.surface else f", as suits a {self.scenario.building.use}"
        yield Part(f"The surface: {pour.surface}{whose}", wait, steps=(*begin, *ends))
        if pour.panels is not None:
            yield Part("Joints", (self.joints(),))
        elif self.raft:
            yield Part("Joints", ("None: a raft's steel runs through it, and no joint may be cut through it.",))

    def joints(self) -> str:
        pour, panels = self.pour, self.pour.panels
        inward = len(self.comparison.site.plan.corners) > 4
        across, along = panels.along - 1, panels.across - 1
        if not across and not along and not inward:
            return "A floor of this size and shape needs none."
        cuts = [f"{made} {'joint' if made == 1 else 'joints'} {where} the length" for made, where in ((across, "across"), (along, "along")) if made]
        if inward:
            cuts.append("one from each corner that points inward")
        when = f" between {clock(pour.saw_h[0])} and {clock(pour.saw_h[1])}" if pour.saw_h else ""
        return (f"{sentence(listed(cuts, 'and'))}, a quarter of the thickness deep. Saw{when}, "
                f"as soon as the saw no longer tears stones out of the edge: try a short cut first. "
                "Or press a strip in while it is wet. Dry sawing makes silica dust that scars lungs: cut wet, with a mask that fits.")

    def after_part(self) -> Part:
        pour = self.pour
        rows = []
        if pour.waits_days is not None:
            cannot = {"strike"} if pour.strikes_only else set() if self.raft else {"strike"}
            if pour.strikes_only or self.scenario.building.use != "garage":
                cannot.add("drive")
            if pour.strikes_only:
                cannot.add("walk")
            for stage, (sooner, later) in pour.waits_days.items():
                if stage not in cannot:
                    rows.append((sentence(STAGES[stage].words), f"{number(sooner, 1)} days", f"{number(later, 1)} days", self.on(later)))
        words = []
        if pour.covered_days is not None:
            days, rule = pour.covered_days.value, pour.covered_days
            words.append(f"Keep it covered and damp for {self.amount(days, 'day')}, to {self.on(days)}, edges too. Begin the same evening, "
                         f"as soon as a sheet leaves no mark. "
                         f"({DOCUMENTS[rule.document].title.partition(':')[0]}, {rule.clause}: from {rule.mark}.)")
        else:
            words.append(f"Time under {self.degrees(COLDEST_CURED_C)} does not count as curing. Keep it covered, insulated and warm, and ask the supplier how long.")
        if pour.frost_days is None:
            words.append("Below freezing it does not harden at all. No waits can be given.")
        else:
            words.append(f"Hardening is reckoned at {self.degrees(pour.mean_c)}, the mean of day and night. Two published rules turn that into days, "
                         f"{RULES[0]} and {RULES[1]}; they differ, and neither has seen your mix. Plan with the slower.")
        if not pour.strikes_only:
            dry = pour.drying_days
            words.append(f"Drying: from the day it has a roof and dry air, likely about {self.months(dry.likely)}, at best {self.months(dry.low)}, "
                         f"in a cool damp building {self.months(dry.high)}. "
                         "So wide is the spread that only a test of the floor tells when it can be covered.")
        table = Table("waits", "Not before", ("", "By the quicker rule", "By the slower rule", "Plan with"), tuple(rows))
        return Part("Afterwards", tuple(words), (table,) if rows else ())

    def days(self, days: float) -> str:
        return self.amount(float(math.ceil(days - 1e-9)), "day")

    def months(self, days: float) -> str:
        """A long wait in words that claim no more than is known."""
        months = round(days / 30.4)
        return f"{months} months" if months > 1 else self.days(days)

    def cautions(self) -> Iterable[tuple[str, str]]:
        by_key = {caution.key: caution for caution in self.job.cautions}
        for key in CAUTIONS:
            if key in by_key and (key != "trenches" or self.pour.strikes_only) and not (key in ("forms", "steel") and self.pour.strikes_only):
                yield by_key[key].title, caution_sentence(by_key[key]).of(self.units)
