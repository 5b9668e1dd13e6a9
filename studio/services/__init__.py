"""One studio folder for commands and screens: plans, shelf, sessions, habits and the clock, joined."""

from studio.methods import METHODS
from studio.plan.ways import announce

announce(*METHODS)
