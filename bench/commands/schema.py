"""`schema`: the JSON Schema of a document or of a command's answer."""

from __future__ import annotations

import argparse
import importlib
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.desk import Desk

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.contract.documents import SchemaOf

DOCUMENTS = {
    "pattern": "bench.craft.pattern:Pattern",
    "structure": "bench.craft.structure:Structure",
    "run": "bench.run:Run",
    "settings": "bench.settings:Settings",
    "stock": "bench.stock:Stock",
}
"""The documents that a maker can write."""

ANSWERS = {
    "list": "bench.contract.documents:Listing",
    "check": "bench.contract.documents:Check",
    "where": "bench.contract.documents:Where",
    "schema": "bench.contract.documents:SchemaOf",
    "steps": "bench.contract.making:Steps",
    "picture": "bench.contract.making:Picture",
    "sheet": "bench.contract.preparing:SheetOut",
    "core": "bench.contract.preparing:CoreOut",
    "weights": "bench.contract.preparing:WeightsOut",
    "needs": "bench.contract.preparing:NeedsOut",
    "export": "bench.contract.timing:Exported",
    "import": "bench.contract.timing:Imported",
    "record": "bench.contract.timing:Recorded",
    "pace": "bench.contract.timing:Pace",
    "paces": "bench.contract.timing:Paces",
    "forecast": "bench.contract.timing:RunForecast",
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


def answer(args: argparse.Namespace, desk: Desk) -> SchemaOf | None:
    """Return the schema for --json; otherwise print it, and nothing else."""
    from bench.contract.documents import SchemaOf

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
