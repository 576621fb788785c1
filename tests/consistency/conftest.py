"""The folder of these tests is a small program of its own: lawns, views, reader, claims."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of a run share: what one has read back, no other renders."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if own.name.startswith("popen-") else own
