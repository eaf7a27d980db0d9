"""A sheet as PDF, printed by a Chromium that the machine has; nothing is fetched."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from benchleaf.graph.errors import BenchleafError

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "msedge", "chrome")
SECONDS = 60
_BY_HAND = "Open the sheet in any browser and print it from there, on A4 or Letter."


class NoPrinter(BenchleafError):
    """No browser on this machine can print a sheet to PDF."""

    status = 1


def print_pdf(sheet: Path, pdf: Path) -> Path:
    """Print a sheet to `pdf`. Raises NoPrinter, with how to print by hand, if no browser here can."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if browser is None:
        raise NoPrinter("no Chromium was found here to make a PDF with", _BY_HAND)
    with tempfile.TemporaryDirectory() as profile:
        try:
            subprocess.run(
                _line(browser, sheet, pdf, profile), check=True, capture_output=True, timeout=SECONDS
            )
        except (OSError, subprocess.SubprocessError) as error:
            raise NoPrinter(f"{Path(browser).name} could not print the sheet: {error}", _BY_HAND) from error
    if not pdf.is_file():
        raise NoPrinter(f"{Path(browser).name} printed nothing", _BY_HAND)
    return pdf


def _line(browser: str, sheet: Path, pdf: Path, profile: str) -> list[str]:
    # the sheet is our own page and asks for nothing; as root Chromium refuses to start with its sandbox
    root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    quiet = ["--headless", "--disable-gpu", "--no-first-run", "--disable-extensions", "--disable-sync"]
    alone = ["--disable-background-networking", "--disable-component-update", "--no-pings"]
    return [
        browser,
        *quiet,
        *alone,
        "--host-resolver-rules=MAP * ~NOTFOUND",
        *root,
        f"--user-data-dir={profile}",
        "--no-pdf-header-footer",
        f"--print-to-pdf={pdf.resolve()}",
        sheet.resolve().as_uri(),
    ]
