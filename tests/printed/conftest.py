"""The folder of these tests is a small program of its own: views, and what each command does."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
