"""Every sheet of every sample on the smallest paper: in parts, each a page of that size."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from app.command_line.program import main
from tests.agreement.samples import FOLDER, SAMPLES
from tests.amount import THOROUGH


@pytest.mark.parametrize("sample", SAMPLES if THOROUGH else SAMPLES[::3])
def test_all_sheets_on_a5(sample: str, tmp_path: Path) -> None:
    out = tmp_path / "head.pdf"
    assert (
        main(
            [
                "export",
                str(FOLDER / f"{sample}.pegwright"),
                str(out),
                "--paper",
                "A5",
                "--packet",
                "everything",
            ]
        )
        == 0
    )
    document = pypdfium2.PdfDocument(out)
    sizes = {tuple(sorted(round(side * 25.4 / 72, 2) for side in page.get_size())) for page in document}
    # ISO 216: A5 is 148 mm by 210 mm, upright or lying.
    assert sizes == {(148.0, 210.0)}
    assert len(document) > 6
