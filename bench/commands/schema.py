"""`schema`: the JSON Schema of a document or of a command's answer."""

from __future__ import annotations

import argparse
import importlib
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.files import SchemaAnswer

DOCUMENTS = {
    "pattern": "bench.craft.pattern:Pattern",
    "structure": "bench.craft.structure:Structure",
    "commission": "bench.documents.commission:Commission",
    "settings": "bench.documents.settings:Settings",
    "stock": "bench.documents.stock:Stock",
    "variant": "bench.commands.wanted_variant:WantedVariant",
}
"""The documents that a maker can write, and a line of `variants` with all its operations."""

ANSWERS = {
    "list": "bench.answers.listing:ListAnswer",
    "check": "bench.answers.files:CheckAnswer",
    "where": "bench.answers.where:WhereAnswer",
    "restore": "bench.answers.files:RestoreAnswer",
    "schema": "bench.answers.files:SchemaAnswer",
    "steps": "bench.answers.steps:StepsAnswer",
    "picture": "bench.answers.picture:PictureAnswer",
    "sheet": "bench.answers.loading_sheet:LoadingSheet",
    "core": "bench.answers.core:CoreAnswer",
    "weights": "bench.answers.weights:WeightsAnswer",
    "needs": "bench.answers.needs:NeedsAnswer",
    "sketch": "bench.answers.sketch:SketchAnswer",
    "versions": "bench.answers.versions:VersionsAnswer",
    "card": "bench.answers.card:CardAnswer",
    "export": "bench.answers.records:ExportAnswer",
    "import": "bench.answers.records:ImportAnswer",
    "record": "bench.answers.records:RecordAnswer",
    "trial": "bench.answers.records:TrialAnswer",
    "pace": "bench.answers.pace:PaceAnswer",
    "paces": "bench.answers.pace:PacesAnswer",
    "commission-answer": "bench.answers.commission:CommissionAnswer",
    "offer": "bench.answers.money:OfferAnswer",
    "account": "bench.answers.money:AccountAnswer",
    "tubes": "bench.answers.tubes:TubesAnswer",
    "finished": "bench.answers.finished:FinishedAnswer",
    "backup": "bench.answers.files:BackupAnswer",
    "closing": "bench.answers.closing:ClosingAnswer",
    "recipe": "bench.answers.recipe:RecipeAnswer",
    "notes": "bench.answers.notes:NotesAnswer",
    "tags": "bench.answers.tags:TagsAnswer",
    "tonight": "bench.answers.tonight:TonightAnswer",
    "inspect": "bench.answers.pieces:PiecesAnswer",
    "pack": "bench.answers.pieces:PiecesAnswer",
    "hang": "bench.answers.hanging:HangAnswer",
    "forecast": "bench.answers.forecast:ForecastAnswer",
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


def answer(args: argparse.Namespace, session: Session) -> SchemaAnswer | None:
    """Return the schema for --json; otherwise print it, and nothing else."""
    from pydantic import TypeAdapter

    from bench.answers.files import SchemaAnswer

    module, _, name = (DOCUMENTS | ANSWERS)[args.kind].partition(":")
    shape = TypeAdapter(getattr(importlib.import_module(module), name)).json_schema()
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", **_named_as_json(shape)}
    if args.json:
        return SchemaAnswer(kind=args.kind, json_schema=found)
    print(json.dumps(found, indent=2))
    return None


def _named_as_json(shape: Any) -> Any:
    """Return a schema, or a part of it, with the keys and lists of keys called as in JSON."""
    from bench.answers import JSON_NAMES

    if isinstance(shape, dict):
        return {JSON_NAMES.get(key, key): _named_as_json(value) for key, value in shape.items()}
    if isinstance(shape, list):
        return [_named_as_json(value) for value in shape]
    return JSON_NAMES.get(shape, shape) if isinstance(shape, str) else shape


def sheet(answer: SchemaAnswer) -> Iterable[RenderableType]:
    """Nothing more: the schema is printed as it is."""
    return ()
