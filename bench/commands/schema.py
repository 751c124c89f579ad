"""`schema`: the JSON Schema of a document or of a command's answer."""

from __future__ import annotations

import argparse
import importlib
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.finding import SchemaOf

DOCUMENTS = {
    "pattern": "bench.craft.pattern:Pattern",
    "structure": "bench.craft.structure:Structure",
    "commission": "bench.documents.commission:Commission",
    "settings": "bench.documents.settings:Settings",
    "stock": "bench.documents.stock:Stock",
}
"""The documents that a maker can write."""

ANSWERS = {
    "list": "bench.answers.finding:Listing",
    "check": "bench.answers.finding:Check",
    "where": "bench.answers.finding:Where",
    "schema": "bench.answers.finding:SchemaOf",
    "steps": "bench.answers.plans:Steps",
    "picture": "bench.answers.plans:Picture",
    "sheet": "bench.answers.preparation:SheetOut",
    "core": "bench.answers.preparation:CoreOut",
    "weights": "bench.answers.preparation:WeightsOut",
    "needs": "bench.answers.preparation:NeedsOut",
    "export": "bench.answers.times:Exported",
    "import": "bench.answers.times:Imported",
    "record": "bench.answers.times:Recorded",
    "pace": "bench.answers.times:Pace",
    "paces": "bench.answers.times:Paces",
    "forecast": "bench.answers.times:CommissionForecast",
}
"""What the commands answer; `paces` is `pace` without a pattern."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the kind."""
    parser.add_argument(
        "kind",
        metavar="KIND",
        choices=[*DOCUMENTS, *ANSWERS],
        help=f"a document ({', '.join(DOCUMENTS)}), or a command's answer ({', '.join(ANSWERS)})",
    )


def answer(args: argparse.Namespace, session: Session) -> SchemaOf | None:
    """Return the schema for --json; otherwise print it, and nothing else."""
    from bench.answers.finding import SchemaOf

    module, _, name = (DOCUMENTS | ANSWERS)[args.kind].partition(":")
    model = getattr(importlib.import_module(module), name)
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", **model.model_json_schema()}
    if args.json:
        return SchemaOf(kind=args.kind, json_schema=found)
    print(json.dumps(found, indent=2))
    return None


def sheet(answer: SchemaOf) -> Iterable[RenderableType]:
    """Nothing more: the schema is printed as it is."""
    return ()
