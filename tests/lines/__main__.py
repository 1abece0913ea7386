"""`python -m tests.lines`: lines, keys and sounds of every sample."""

import sys

from tests.counting import main

sys.exit(main())
