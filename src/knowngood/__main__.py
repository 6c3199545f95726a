"""python -m knowngood."""

import sys

from knowngood.cli import main

sys.exit(main())
