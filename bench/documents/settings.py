"""The maker's bench: tama, weights, scale, keys and rules of thumb, in settings.toml."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from bench.craft.colour import Vision
from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.craft.text import Fault, plain
from bench.documents.actions import ACTIONS, BOARD_ACTIONS, LIST_ACTIONS
from bench.documents.amounts import Amount, Percent
from bench.documents.errors import DocumentError
from bench.documents.key_bindings import check_keys, keys_of
from bench.documents.reading import read_document
from bench.journal.regular_file import is_there
from bench.slips.costs import Costed
from bench.slips.suspect import Slip

Grams = Annotated[float, Field(gt=0, le=5000, allow_inf_nan=False)]
Millimetres = Annotated[float, Field(gt=0, le=5000, allow_inf_nan=False)]
Key = Annotated[str, Field(min_length=1, max_length=30), AfterValidator(plain)]


class StandSettings(DocumentPart):
    """The braiding stand and what hangs on it."""

    tama_g: Grams | tuple[Grams, ...] = Field(
        70.0, description="One weight for all tama, or one for each strand."
    )
    fraction: Annotated[float, Field(ge=0.2, le=0.7)] = Field(
        0.47,
        description="Counterweight over what hangs outside. 0.40 to 0.50 is the rule of M. Tada,"
        " Kumihimo Notes, and of the American Kumihimo Society's glossary; 0.35 to 0.55 is sense.",
    )
    weights_g: Annotated[tuple[Grams, ...], Field(min_length=1, max_length=40)] = Field(
        (5, 10, 10, 20, 50, 50, 100, 200, 200), description="The weights that can go in the bag."
    )
    bag_g: Annotated[float, Field(ge=0, le=5000)] = Field(
        0.0, description="Bag, hook and tie; they count."
    )
    scale_g: Annotated[float, Field(gt=0, le=100)] = Field(
        0.1, description="What the scale resolves."
    )
    stands: Annotated[int, Field(ge=1, le=20)] = Field(1, description="How many stands you have.")

    @property
    def has_scale(self) -> bool:
        """Whether the maker has said what the scale resolves."""
        return "scale_g" in self.model_fields_set


class ThumbRules(DocumentPart):
    """Rules of thumb. Each says what it rests on; measure and set your own."""

    rim_to_point_mm: Millimetres = Field(140.0, description="Common practice, no source.")
    drop_to_tama_mm: Millimetres = Field(225.0, description="Common practice, no source.")
    hitch_mm: Millimetres = Field(125.0, description="Hitch and turns; common practice, no source.")
    take_up: Annotated[float, Field(ge=1, le=5)] = Field(
        1.7, description="Thread worked in for each length of braid; 1.25 to 1.7 in round braids."
    )
    plain_cross_mm: Millimetres | None = Field(
        None, description="What a plain cross adds; by default from the thread."
    )
    let_out_mm: Annotated[float, Field(ge=10, le=1000, allow_inf_nan=False)] = Field(
        70.0, description="Every 5 to 8 cm; common practice, no source."
    )
    rehang_mm: Millimetres = Field(140.0, description="Common practice, no source.")
    spare_small: Annotated[float, Field(ge=0, le=0.9)] = Field(
        0.10, description="Share of 15/0 and smaller that is lost; common practice, no source."
    )
    spare: Annotated[float, Field(ge=0, le=0.9)] = Field(
        0.05, description="Share of larger beads that is lost; common practice, no source."
    )
    culls: Annotated[float, Field(ge=0, le=0.9)] = Field(
        0.0, description="Share of beads thrown out before loading, besides those lost."
    )
    short: Annotated[float, Field(ge=0.001, le=0.5)] = Field(
        0.05, description="Chance that a kind of bead runs short all the same: one lot in 20."
    )
    tube_g: Grams = Field(
        10.0,
        description="A tube of beads where your stock does not say; common practice, no source.",
    )
    spool_m: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] = Field(
        50.0,
        description="A spool of thread where your stock does not say; common practice, no source.",
    )
    measured_turn_deg: Annotated[float, Field(ge=-180, le=180, allow_inf_nan=False)] | None = Field(
        None, description="Degrees that the braid really turns at a cross, for the picture."
    )
    flip_hand: bool = Field(False, description="Turn the picture's hand over; it is not confirmed.")


class PressSettings(DocumentPart):
    """What a press of the key does."""

    per: Literal["cross", "row"] = Field("cross", description="What one press counts.")
    guard_s: Annotated[float, Field(ge=0, le=5)] = Field(
        0.5, description="A second press within so many seconds is ignored, and said."
    )
    bell: bool = Field(True, description="Ring once when a mark is due.")
    show_times: bool = Field(True, description="Show when the piece will be ready.")
    away_s: Annotated[float, Field(ge=10, le=7200)] = Field(
        120.0, description="After so many seconds without a press the place is shown in words."
    )


class RestSettings(DocumentPart):
    """When a rest is offered, between two rows, and when light is spoken of. Advice, no more."""

    after_minutes: Annotated[float, Field(ge=0, le=600)] = Field(
        50.0,
        description="A rest is offered after so many minutes at work; 0: never. A few minutes in"
        " each hour is the advice of safeatworkca.com.",
    )
    taken_minutes: Annotated[float, Field(gt=0, le=120)] = Field(
        3.0, description="So many minutes without a key are a rest: 3 to 5, safeatworkca.com."
    )
    evening_hour: Annotated[int, Field(ge=6, le=24)] = Field(
        18, description="From this hour on light is spoken of, once an evening; 24: never."
    )


SHAPES = {"circle": "●", "triangle": "▲", "square": "■", "diamond": "◆", "bar": "▬"}
"""Shapes that can stand large for a bead, by name."""


def _sign(text: str) -> str:
    """A letter or figure as it is, a shape by its name. Raises ValueError for anything else."""
    if text in SHAPES:
        return SHAPES[text]
    if len(text) == 1 and text.isascii() and text.isalnum():
        return text
    raise ValueError(f"give one letter or figure, or one of {', '.join(SHAPES)}")


Sign = Annotated[str, AfterValidator(_sign)]


class SpokenSettings(DocumentPart):
    """A line that is spoken for every cross, for those who cannot look up."""

    command: Annotated[tuple[PlainLine, ...], Field(max_length=40)] = Field(
        (), description="A program and its words; it is run without a shell. By default none."
    )
    text: Literal["input", "argument"] = Field(
        "input", description="How it gets the text: on standard input, or as its last word."
    )


class WorkSettings(DocumentPart):
    """Hours and money."""

    hours_per_week: Annotated[float, Field(gt=0, le=168)] = 10.0
    hourly_rate: Annotated[float, Field(ge=0, le=100_000)] | None = None
    currency: Title = "EUR"
    margin: Annotated[float, Field(ge=0, le=10)] = 0.0


class ShopSettings(DocumentPart):
    """How an offer is made. Tax and prices: ask your tax office and your own adviser."""

    overhead_percent: Annotated[Decimal, Field(ge=0, le=1000, decimal_places=4)] = Field(
        Decimal(0), description="Rent, light, tools: on hours and materials, before the margin."
    )
    least_price: Amount = Field(Decimal(0), description="No piece is offered for less.")
    tax_percent: Percent = Field(Decimal(0), description="Ask your tax office.")
    tax_name: Title = "tax"
    round_to: Annotated[Decimal, Field(gt=0, le=1000, decimal_places=2)] = Field(
        Decimal("0.01"), description="What the price of a piece is rounded to."
    )
    rounding: Literal["half up", "half even"] = Field(
        "half up", description="Where halves go; ISO 80000-1 knows both."
    )
    deposit_percent: Percent = Field(Decimal(0), description="Of the whole price.")
    length_percent: Annotated[float, Field(gt=0, le=100)] = Field(
        3.0, description="A piece may be so much longer or shorter than the sample."
    )
    thickness_mm: Annotated[float, Field(gt=0, le=100)] = Field(
        0.3, description="Or so much thicker or thinner."
    )
    weight_percent: Annotated[float, Field(gt=0, le=100)] = Field(
        5.0, description="Or so much heavier or lighter."
    )
    maker: PlainLine = Field(
        "",
        description="Your name and address on a customer's sheets; a semicolon begins a new line.",
    )
    looks: Annotated[tuple[PlainLine, ...], Field(max_length=20)] = Field(
        ("no gaps", "end bead seated", "ends trimmed", "no bloom of glue"),
        description="What is looked at when a finished piece is inspected.",
    )
    holds_days: Annotated[int, Field(ge=1, le=3650)] = Field(
        30, description="For so many days an offer holds."
    )

    @property
    def overhead(self) -> float:
        """The overhead as a share, 0.2 for 20 %."""
        return float(self.overhead_percent) / 100


Share = Annotated[float, Field(gt=0, le=0.4, allow_inf_nan=False)]
Rate = Annotated[float, Field(gt=0, le=10, allow_inf_nan=False)]
Patience = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]


class SlipSettings(DocumentPart):
    """How slips are looked for. The figures are rules of thumb, without source; set your own."""

    vision: Vision = Field("full", description="Your colour vision: which beads look alike to you.")
    rates: dict[Slip, Rate] = Field(
        default_factory=dict,
        description="How many slips of a kind a piece has; your own mends shift them slowly.",
    )
    false_report: Share = Field(
        0.003, description="Chance that a bead in passing is taken for another one and reported."
    )
    false_answer: Share = Field(0.06, description="Share of answers to looks that are wrong.")
    false_count: Share = Field(
        0.05, description="Share of counts and glances that are wrong by one, besides."
    )
    false_piece: Share = Field(
        0.05, description="Share of answers to which piece lies on the stand that are wrong."
    )
    regret_slight_s: Patience = Field(
        300.0, description="Seconds of work you would give not to see a slight fault."
    )
    regret_plain_s: Patience = Field(
        1200.0, description="Seconds of work you would give not to see a plain fault."
    )
    seconds: dict[Costed, Annotated[float, Field(gt=0, le=3600, allow_inf_nan=False)]] = Field(
        default_factory=dict,
        description="Your own seconds for the parts of looks and mends, by which they are ranked; "
        "those of looks are learned from your answers besides.",
    )
    glance: Literal["never", "at changes", "before and at changes"] = Field(
        "before and at changes", description="When a glance round the rim is offered."
    )
    glance_rows: Annotated[int, Field(ge=1, le=1000)] = Field(
        1, description="No glance sooner than so many rows after the last."
    )
    count_rows: Annotated[int, Field(ge=0, le=1000)] = Field(
        8, description="A count of at most ten beads every so many rows; 0: never."
    )
    asked_at_most_s: Annotated[float, Field(ge=0, le=3600, allow_inf_nan=False)] = Field(
        60.0, description="Seconds that all offered looks of a piece may take together."
    )

    @model_validator(mode="after")
    def _no_rate_of_misreading(self) -> SlipSettings:
        if "misread" in self.rates:
            raise Fault("a misreading is no slip; set false_report instead", "rates", "misread")
        return self


class Settings(DocumentPart):
    """Everything that a maker can set."""

    format: Literal[1] = 1
    theme: PlainLine = Field("", description="Name of a colour theme; by default the dark one.")
    stand: StandSettings = StandSettings()
    thumb: ThumbRules = ThumbRules()
    press: PressSettings = PressSettings()
    rest: RestSettings = RestSettings()
    work: WorkSettings = WorkSettings()
    shop: ShopSettings = ShopSettings()
    slips: SlipSettings = SlipSettings()
    spoken: SpokenSettings = SpokenSettings()
    signs: dict[Annotated[str, Field(pattern="^[a-z]$")], Sign] = Field(
        default_factory=dict,
        description="What is shown large for a bead, by its letter: another letter or figure, or"
        " circle, triangle, square, diamond, bar.",
    )
    keys: dict[str, tuple[Key, ...]] = Field(
        default_factory=dict,
        description="Keys by action: " + ", ".join((*ACTIONS, *LIST_ACTIONS, *BOARD_ACTIONS)),
    )

    @model_validator(mode="after")
    def _sound(self) -> Settings:
        check_keys(self.keys)
        return self

    def all_keys(self, mode: str = "the bench") -> dict[str, tuple[str, ...]]:
        """The keys of every action of a mode, the maker's own before the usual ones."""
        return keys_of(mode, self.keys)


def read_settings(home: Path) -> tuple[Settings, str | None]:
    """Return the settings in a data folder, and what was wrong with the file, if anything.

    With a broken file the defaults hold: a mistake in it must not keep anyone from braiding.
    """
    path = home / "settings.toml"
    if not is_there(path):
        return Settings(), None
    try:
        return read_document(path, Settings), None
    except DocumentError as error:
        return Settings(), f"{error} (the usual settings hold until this is mended)"
