"""Small faults put into the project, and which of them its tests notice."""

import sys
from pathlib import Path

# pytest has the folder of tests on its path, a command of DEVELOPERS.md has not
sys.path.append(str(Path(__file__).parent.parent))
