"""Turns a scenario file, with overrides, into the record the calculators read.

Reads front matter strictly, reads each key by the one list of inputs, then
runs the rules that join several keys.  Every problem found is reported at
once; nothing is guessed in silence: the defaults taken are returned too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from calculators.scenario import (
    Access, Building, Drainage, EdgeDetails, FloorSurvey, Given, Heat, InsulatedChoices, OwnCarbon, OwnFuture, PlaceForSurplus, Plot, PourDayGiven, ProgrammeGiven, RaftChoices,
    Scenario, StripChoices,
)
from calculators.schedule import Schedule
from calculators.survey import from_south_west
from generator.front_matter import LARGEST_FILE, Items, Keys, Text, Value, read_front_matter, read_keys, typed_file
from generator.input_readers import Found, as_typed, read_input, read_inputs, text_of
from generator.inputs import BY_KEY, INPUTS, KEPT_AS, LEFT_OPEN, PIECES, SCHEME_IDS, WORKED_OUT, Input
from generator.problems import BadInput, Problem, as_shown, listed, nearest, plain_text
from generator.quantities import Unreadable
from generator.scenario_rules import INSULATION_WAYS, RULES, corners_of, ground_of
from generator.schedules import load_schedule, with_quotes

FROM_COMMAND = "--set"
"""The place shown for a value that an override gave."""

INSULATION_WHEN_NOTHING_SAID = "100 mm"


@dataclass(frozen=True)
class DefaultUsed:
    """One input nobody gave: its key and label, the value taken as a person would type it, and why."""

    key: str
    label: str
    value_text: str
    reason: str


@dataclass(frozen=True)
class Reading:
    """A scenario as read: the record, the text below the front matter, the defaults taken, what was typed."""

    scenario: Scenario
    body: str
    body_line: int
    defaults: tuple[DefaultUsed, ...]
    given: Mapping[str, str]


def read_scenario_file(path: str | Path, overrides: Iterable[str] = ()) -> Reading:
    """Read the scenario in a file.

    `overrides` are texts `key=value`, as `plot.footprint=7.2 m x 4.8 m`.
    Raises BadInput with every problem.
    """
    file, path = str(path), Path(path)
    text = typed_file(path, "a scenario file")
    return read_scenario_text(text, file, slug_of(path.stem), overrides, path.parent)


def slug_of(name: str) -> str:
    """A name as it may stand in an address: small letters, figures and hyphens.

    >>> slug_of("Print Studio (new)")
    'print-studio-new'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:80].strip("-") or "plot"


def read_scenario_text(
    text: str, file_name: str, slug: str, overrides: Iterable[str] = (), beside: Path | None = None
) -> Reading:
    """Read a scenario from text.

    `file_name` is shown in problems, `slug` is the scenario's name in
    addresses, `beside` the folder in which a schedule of rates of its own may
    lie.  Raises BadInput with every problem, and ValueError for a slug that
    is not one.
    """
    if slug != slug_of(slug):
        raise ValueError(f"not a slug: {slug!r}")
    if len(text) > LARGEST_FILE:
        raise BadInput([Problem(file_name, 1, "file", f"it is longer than {LARGEST_FILE // 1000} thousand characters", "shorten it")])
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    matter = read_front_matter(plain, file_name)
    tree, problems = with_overrides(matter.keys, overrides, file_name)
    draft = Draft(tree, file_name, slug, beside, [*matter.problems, *problems])
    scenario = draft.scenario()
    return Reading(scenario, matter.body, matter.body_line, draft.defaults(), {**draft.found.given, **draft.given_schemes})


def with_overrides(tree: Keys, overrides: Iterable[str], file: str) -> tuple[Keys, list[Problem]]:
    """A copy of the keys with each override `key=value` in place, and every problem with the overrides.

    An empty value takes the key out.  A value that starts with [ or { is read
    as a list or a group, any other is text.
    """
    tree = _copy(tree)
    problems: list[Problem] = []
    seen: set[str] = set()
    for override in overrides:
        key, equals, typed = override.partition("=")
        key, typed = key.strip(), typed.strip()
        if not equals or not key:
            problems.append(Problem(file, FROM_COMMAND, "--set", f"{as_shown(override)} is not a key and a value", "write the key, =, and the value", "plot.slope=1:14"))
            continue
        shown = plain_text(key[:60])
        if key in seen:
            problems.append(Problem(file, FROM_COMMAND, shown, "it is set twice", "keep one of the two"))
            continue
        seen.add(key)
        try:
            value: Value = _relabelled(read_keys(f"v: {typed}", file).values["v"]) if typed[:1] in ("[", "{") else Text(typed, FROM_COMMAND)
            _put(tree, key.split("."), value)
        except Unreadable as error:
            problems.append(Problem(file, FROM_COMMAND, shown, error.given, error.wanted))
        except BadInput as error:
            problems += [replace(problem, line=FROM_COMMAND, field=shown) for problem in error.problems]
    return tree, problems


def _copy(value: Value) -> Value:
    if isinstance(value, Keys):
        return Keys({key: _copy(item) for key, item in value.values.items()}, dict(value.lines), value.line)
    return value


def _relabelled(value: Value) -> Value:
    if isinstance(value, Keys):
        return Keys({k: _relabelled(v) for k, v in value.values.items()}, {k: FROM_COMMAND for k in value.values}, FROM_COMMAND)
    if isinstance(value, Items):
        return Items(tuple(_relabelled(item) for item in value.items), FROM_COMMAND)
    return Text(value.text, FROM_COMMAND)


def _put(keys: Keys, path: list[str], value: Value) -> None:
    for part in path[:-1]:
        inner = keys.values.get(part)
        if isinstance(inner, Items) or isinstance(inner, Text) and inner.text.strip() not in ("", "yes", "none"):
            raise Unreadable(f"{part} is {as_shown(as_typed(inner))} in the file, which has no keys below it", "change the file, or set the whole of it")
        if not isinstance(inner, Keys):
            inner = Keys(line=FROM_COMMAND)
            keys.values[part] = inner
            keys.lines.setdefault(part, FROM_COMMAND)
        keys = inner
    if isinstance(value, Text) and not value.text:
        keys.values.pop(path[-1], None)
        keys.lines.pop(path[-1], None)
    else:
        keys.values[path[-1]] = value
        keys.lines[path[-1]] = FROM_COMMAND


class Draft:
    """A scenario half read: what the keys gave, with defaults, and what the rules found."""

    def __init__(self, tree: Keys, file: str, slug: str, beside: Path | None, problems: Iterable[Problem] = ()):
        self.file, self.slug, self.beside = file, slug, beside
        self.problems: list[Problem] = list(problems)
        self.given_schemes: dict[str, str] = {}
        self.schemes = self._choose_schemes(tree)
        self.found: Found = read_inputs(tree, INPUTS, file)
        self.problems += self.found.problems
        self.values = dict(self.found.values)
        for item in INPUTS:
            if self.values.get(item.key) is None and item.default is not None:
                default = self._default_text(item)
                self.values[item.key] = None if default in LEFT_OPEN else read_input(item, Text(default, 0))
        self.schedule = self._schedule()
        self.corners = corners_of(self.values)
        self.ground = ground_of(self.values, self.corners)

    # What the file gave.

    def given(self, key: str) -> bool:
        """Whether somebody typed this key."""
        return key in self.found.given

    def shown(self, key: str) -> str:
        """What was typed for a key, in quotation marks, or its default."""
        return as_shown(self.found.given[key]) if self.given(key) else f"{self._default_text(BY_KEY[key])} (the default)"

    def line(self, key: str) -> int | str:
        """The line of a key, or of the nearest group it would lie in."""
        while key:
            if key in self.found.lines:
                return self.found.lines[key]
            key = key.rpartition(".")[0]
        return 1

    def problem(self, key: str, given: str, wanted: str, example: str | None = None) -> Problem:
        """A problem at a key; the example is the input's own unless another is given."""
        return Problem(self.file, self.line(key), key, given, wanted, BY_KEY[key].example if example is None and key in BY_KEY else example or "")

    def _default_text(self, item: Input) -> str:
        if item.key == "title":
            return self.slug.replace("-", " ").capitalize()
        if item.key == "schemes.insulated-slab.insulation_thickness" and not any(self.found.given.get(key, WORKED_OUT) != WORKED_OUT for key in INSULATION_WAYS):
            return INSULATION_WHEN_NOTHING_SAID
        return item.default or ""

    def _choose_schemes(self, tree: Keys) -> tuple[str, ...]:
        """The schemes to compare; `schemes` in the tree is left holding only groups of changes."""
        value = tree.values.get("schemes")
        line = tree.lines.get("schemes", 1)
        if value is None or isinstance(value, Text) and not value.text.strip():
            return SCHEME_IDS
        if isinstance(value, Items):
            self.given_schemes["schemes"] = as_typed(value)
            tree.values["schemes"] = Keys(line=line)
            named: list[str] = []
            for item in value.items:
                try:
                    word = text_of(item)
                except Unreadable as error:
                    self.problems.append(Problem(self.file, item.line, "schemes", error.given, f"write {listed(SCHEME_IDS)}"))
                    continue
                if word not in SCHEME_IDS:
                    close = nearest(word, SCHEME_IDS)
                    hint = f" (did you mean {close}?)" if close else ""
                    self.problems.append(Problem(self.file, item.line, "schemes", f"{as_shown(word)} is not a scheme{hint}", f"write {listed(SCHEME_IDS)}"))
                named.append(word)
            if not value.items:
                self.problems.append(Problem(self.file, line, "schemes", "the list is empty", f"name at least one of {listed(SCHEME_IDS)}"))
            return tuple(scheme for scheme in SCHEME_IDS if scheme in named)
        if not isinstance(value, Keys):
            return SCHEME_IDS
        chosen = []
        for scheme in SCHEME_IDS:
            inner = value.values.get(scheme)
            if isinstance(inner, Text) and inner.text.strip() in ("yes", "no"):
                del value.values[scheme]
                self.given_schemes[f"schemes.{scheme}"] = inner.text.strip()
                if inner.text.strip() == "no":
                    continue
            chosen.append(scheme)
        if not chosen:
            self.problems.append(Problem(self.file, line, "schemes", "every scheme is left out", f"keep at least one of {listed(SCHEME_IDS)}"))
        return tuple(chosen)

    def _schedule(self) -> Schedule | None:
        """The schedule of rates with the quotes in it, or None when it cannot be read."""
        if "rates" in self.found.bad:
            return None
        try:
            schedule = load_schedule(self.values["rates"], self.beside, self.problem("rates", "", f"write {BY_KEY['rates'].hint}"))
        except BadInput as error:
            self.problems += [
                problem if problem.file == self.file else replace(problem, given=f"{problem.given} ({plain_text(self.file)} asks for these rates)")
                for problem in error.problems
            ]
            return None
        if "quotes" in self.found.bad:
            return schedule
        schedule, problems = with_quotes(schedule, self.values["quotes"], self.file)
        self.problems += problems
        return schedule

    # What comes of it.

    def scenario(self) -> Scenario:
        """The finished record, or BadInput with every problem."""
        for keys, rule in RULES:
            if not any(key in self.found.bad for key in keys):
                self.problems += rule(self)
        if self.problems or self.schedule is None or self.corners is None:
            raise BadInput(sorted(dict.fromkeys(self.problems), key=lambda p: (p.file != self.file, not isinstance(p.line, int), p.line if isinstance(p.line, int) else 0)))
        at = self.values
        ground = self.ground
        shape, covering = at["building.roof"]
        hour, energy = at["hour_worth"], at["heat.energy_price"]
        return Scenario(
            title=at["title"],
            slug=self.slug,
            units=at["units"],
            currency=self.schedule.currency,
            region=at["region"],
            hour_worth=None if hour is None else hour[1],
            plot=Plot(
                corners_m=self.corners,
                gradient=0.0 if ground else at["plot.slope"],
                falls_to_deg=None if ground else at.get("plot.falls_to"),
                levels_m=ground.levels if ground else (),
                topsoil_m=at["plot.topsoil"],
                soil=at["plot.soil"],
                shrinkage=at["plot.shrinkage"],
                trees=at["plot.trees"],
                water=at["plot.water"],
                outfall=at["plot.outfall"],
                frost_depth_m=at["plot.frost_depth"],
                boundary_m=at["plot.boundary"],
                spoil_spread_m3=at["plot.spoil_spread"],
                planning_permission=at["plot.planning_permission"],
                access=Access(
                    lorry_to_slab_m=at["plot.access.lorry_to_slab"],
                    gate_width_m=at["plot.access.gate_width"],
                    pump=at["plot.access.pump"],
                ),
                triangles=ground.triangles if ground else (),
                beyond_m=ground.beyond if ground else (),
                levels_checked=at["plot.levels_checked"],
                level_run=ground.run if ground else None,
                **{f"{BY_KEY[key].name}_m": tuple((from_south_west(outline), size) for outline, size in at[key]) for key in PIECES},
                neighbours=at["plot.neighbours"],
            ),
            building=Building(
                walls=at["building.walls"],
                wall_height_m=at["building.wall_height"],
                ridge_height_m=at["building.ridge_height"],
                roof_shape=shape,
                roof_covering=covering,
                use=at["building.use"],
                heated=at["building.heated"],
                doors=tuple(side for side, _ in at["building.doors"]),
                door_width_m=at["building.door_width"],
                door_threshold=at["building.door_threshold"],
                door_positions_m=tuple(place for _, place in at["building.doors"]),
                step_free=at["building.step_free"],
                internal_walls_m=at["building.internal_walls"],
                sleeping=at["building.sleeping"],
                non_combustible=at["building.non_combustible"],
            ),
            schemes={scheme: self._choices(scheme) for scheme in self.schemes},
            heat=Heat(
                wall_thickness_m=at["heat.wall_thickness"],
                ground_conductivity_w_per_mk=at["heat.ground_conductivity"],
                pattern=at["heat.pattern"],
                degree_days=at["heat.degree_days"],
                energy_price_per_kwh=None if energy is None else energy[1],
                efficiency=at["heat.efficiency"],
            ),
            schedule=self.schedule,
            given=Given(**self._kept_in("given")),
            drainage=Drainage(**self._kept_in("drainage")),
            edge=EdgeDetails(**self._kept_in("edge")),
            own_carbon=OwnCarbon(**self._kept_in("own_carbon")),
            weights=at["weights"],
            own_futures=tuple(OwnFuture(name, {scheme: cost for scheme, (_, cost) in costs.items()}, likelihood) for name, costs, likelihood in at["futures"]),
            pour=self._pour(),
            programme=ProgrammeGiven(**self._kept_in("programme")),
            floor=FloorSurvey(**self._kept_in("floor")),
        )

    def _pour(self) -> PourDayGiven:
        """The day of a pour; its money has passed the rule that it is in the schedule's currency."""
        kept, joint = self._kept_in("pour"), self.values["pour.cold_joint_cost"]
        places = tuple(PlaceForSurplus(name, room, None if worth is None else worth[1]) for name, room, worth in kept["places"]) if kept["places"] is not None else None
        return PourDayGiven(**{**kept, "places": places, "cold_joint_cost": None if joint is None else joint[1]})

    def _kept_in(self, record: str) -> dict[str, object]:
        """The fields of a part of the record, from the inputs that are kept there."""
        return {path.partition(".")[2]: self.values[key] for key, path in KEPT_AS.items() if path.startswith(f"{record}.")}

    def _choices(self, scheme: str) -> RaftChoices | StripChoices | InsulatedChoices:
        record = _CHOICES[scheme]
        names = {item.key: item.name + _SUFFIXES.get(item.kind, "") for item in INPUTS if item.group == f"schemes.{scheme}"}
        return record(**{name: self.values[key] for key, name in names.items()})

    def defaults(self) -> tuple[DefaultUsed, ...]:
        """The defaults taken, in the order of the list of inputs."""
        used = []
        for item in INPUTS:
            if item.default is None or self.found.values.get(item.key) is not None:
                continue
            if item.key.startswith("schemes.") and item.key.split(".")[1] not in self.schemes:
                continue
            text, reason = self._default_text(item), item.reason
            if item.key == "currency" and self.schedule:
                text = self.schedule.currency
            if text == INSULATION_WHEN_NOTHING_SAID and item.default == WORKED_OUT:
                reason = "common under a small heated floor"
            used.append(DefaultUsed(item.key, item.label, text, reason))
        return tuple(used)


_CHOICES: dict[str, type] = {"thickened-raft": RaftChoices, "strip-and-block": StripChoices, "insulated-slab": InsulatedChoices}
_SUFFIXES = {"length": "_m", "block thickness": "_m", "resistance": "_m2k_per_w", "transmittance": "_w_per_m2k", "pressure": "_kpa"}
"""What the records add to the name of an input, by its kind."""
