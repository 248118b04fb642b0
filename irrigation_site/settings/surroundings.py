"""What the other settings ask of the surroundings: variables and the data folder."""

from pathlib import Path

import environ

env = environ.Env()

BASE_DIR = Path(__file__).resolve().parent.parent.parent
DATA_DIR = Path(env.str("IRRIGATION_DATA", default=str(BASE_DIR / ".data"))).absolute()
