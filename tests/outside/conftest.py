"""Let these tests import the oracles that lie beside them and the small machines of the diagnosis tests."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
for folder in (HERE, HERE.parent / "diagnosis"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))
