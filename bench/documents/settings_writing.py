"""One value of settings.toml set as a person would: comments and all else stay as they are."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from bench.documents.key_lines import KeyPath
from bench.documents.pattern_writing import stamp_of, write_document
from bench.documents.reading import fault_in, read_toml
from bench.documents.settings import Settings
from bench.documents.toml_editing import with_value, without

NEW = "format = 1\n"


def set_in_settings(home: Path, path: KeyPath, value: Any) -> None:
    """Write a value into the settings of a data folder; None takes it out.

    Raises Fault for a value that cannot be, DocumentError if the file cannot be read or written;
    nothing is changed then.
    """
    file = home / "settings.toml"
    stamp = stamp_of(file)
    text = NEW if stamp is None else read_toml(file)[1]
    text = without(text, path) if value is None else with_value(text, path, value)
    try:
        Settings.model_validate(tomllib.loads(text))
    except ValidationError as error:
        raise fault_in(error) from None
    write_document(file, text, stamp)
