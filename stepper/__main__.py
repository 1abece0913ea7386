"""`python -m stepper` is the command `stepper`."""

import sys

from stepper.cli.main import main

sys.exit(main())
