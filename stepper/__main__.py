"""`python -m stepper` is the command `stepper`."""

import sys

from stepper.cli import main

sys.exit(main())
