"""Where the checkout keeps what tests read."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ASSETS = ROOT / "companion" / "assets"
EXTERNAL = ROOT / "tests" / "external"
GOLDEN = ROOT / "tests" / "golden"
SAMPLES = ROOT / "companion" / "samples" / "plans"
SUPPORT = ROOT / "tests" / "support"
