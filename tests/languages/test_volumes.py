"""How the page reads a volume with a unit, without a browser. What is not the same in every country is not guessed."""

import json
import shutil
import subprocess

import pytest

import tools
from running import ROOT
from scaldloaf.operations.perform import perform
from scaldloaf.operations.registry import BY_NAME
