"""Let the tests of the diagnosis import the oracles and generators that lie beside them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
