"""A commission's file after a change: comments, order and all else stay."""

from __future__ import annotations

import tomllib

from bench.documents.commission import Commission
from bench.documents.commission_writing import written_commission

TEXT = """# my commission
format = 1
title = "Rain curtain"   # the title

# grey ones first
[[lots]]
name = "Eaves"
pattern = "silver-eaves"
pieces = 16   # sixteen

# plum
[[lots]]
name = "Plum"
pattern = "silver-eaves"
pieces = 12
due = 2027-03-01
"""


def of(text: str) -> Commission:
    """The commission that a text means."""
    return Commission.model_validate(tomllib.loads(text))


def test_lots_take_their_comments_along() -> None:
    """Lots that change places keep the comments above them and behind their values."""
    known = of(TEXT)
    turned = known.model_copy(update={"lots": known.lots[::-1]})
    text = written_commission(turned, TEXT)
    assert of(text) == turned
    assert text.index('# plum\n[[lots]]\nname = "Plum"') < text.index("# grey ones first\n[[lots]]")
    assert "pieces = 16   # sixteen" in text


def test_only_what_changed_differs() -> None:
    """A new count, a lot taken out and terms: other lines stay as they were written."""
    known = of(TEXT)
    lot = known.lots[0].model_copy(update={"pieces": 18})
    terms = known.terms.model_copy(update={"note": "thank you"})
    text = written_commission(known.model_copy(update={"lots": (lot,), "terms": terms}), TEXT)
    assert text.splitlines() == [
        *TEXT.replace("16 ", "18 ").splitlines()[:9], "", "[terms]", 'note = "thank you"',
    ]  # fmt: skip


def test_a_new_file_reads_like_one_written_by_hand() -> None:
    """Without a text to come from, keys stand in their usual order and mean the same."""
    known = of(TEXT)
    text = written_commission(known)
    assert of(text) == known
    assert text.startswith('format = 1\ntitle = "Rain curtain"\n\n[[lots]]\nname = "Eaves"\n')
