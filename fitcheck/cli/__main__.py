"""``python -m fitcheck.cli``: the command without an installed script."""

import sys

from fitcheck.cli import main

sys.exit(main())
