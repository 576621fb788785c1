"""The folder of these tests is a small program of its own: lawns, views, reader, claims."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
