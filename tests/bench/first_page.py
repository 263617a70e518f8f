"""Processor time until the first page of Print and export can be looked at, for every sample, in fresh processes.

Run as `python tests/bench/first_page.py`: the least of three, in seconds. Below 0.3 it comes with the dialog.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "sample_builds"


def main(names: list[str]) -> None:
    """All samples, each three times in a process of its own; with a name, one sample in this one."""
    if names:
        print(f"{taken(Path(names[0])):.3f}")
        return
    for sample in sorted(SAMPLES.glob("*.pegwright")):
        command = [sys.executable, __file__, str(sample)]
        times = [
            float(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
            for _ in range(3)
        ]
        print(f"{sample.stem}: {min(times):.3f} s")


def taken(sample: Path) -> float:
    """Seconds of the processor from the choice of the usual sheets to the first page, ready to paint."""
    sys.path.insert(0, str(SAMPLES.parent))
    from PySide6.QtGui import QGuiApplication

    from app.document.session import Session
    from app.output.choices import first_pages, job_for, usual_choices
    from app.output.page_painter import picture
    from geometry.checks.judge import Level, worst
    from geometry.document.codec import read_build
    from geometry.trade.shop import default_shop

    application = QGuiApplication(["first page", "-platform", "offscreen"])
    assert application is not None
    scene, shop = Session(read_build(sample.read_bytes())).scene, default_shop()
    stopped = worst(scene.findings) is Level.STOP
    begin = time.process_time()
    first = first_pages(job_for(scene, shop, usual_choices(shop, None, stopped=stopped), sample))
    picture(first.pages[0])
    return time.process_time() - begin


if __name__ == "__main__":
    main(sys.argv[1:])
