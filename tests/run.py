#!/usr/bin/python3
"""Every test that is no cmocka test. usage: run.py --selvage PATH [--update] [--valgrind] [GROUP...]"""
import argparse
import importlib
import os
import sys
import time

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
sys.dont_write_bytecode = True

from harness import Suite  # noqa: E402

GROUPS = {
    "laws": "laws.laws",
    "golden": "golden.golden",
    "command": "command.command",
    "catalogue": "command.catalogue",
    "format": "format.format",
    "memory": "command.memory",
    "docs": "command.examples",
    "explain": "command.explain",
    "findings": "reference.findings",
    "reference": "reference.reference",
    "bed": "reference.bed",
    "found": "reference.found",
    "ways": "reference.ways",
    "solver": "reference.solver",
    "hoop": "reference.hoop",
    "browser": "browser.browser",
    "browsing": "browser.catalogue",
    "mutants": "mutants.mutants",
    "hostile": "hostile.hostile",
}


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--selvage", default="build/selvage")
    parser.add_argument("--update", action="store_true")
    parser.add_argument("--valgrind", action="store_true")
    parser.add_argument("groups", nargs="*")
    words = parser.parse_args()
    suite = Suite(words.selvage, words.update, words.valgrind)
    for name in words.groups or GROUPS:
        before, start = suite.passed + suite.failed, time.monotonic()
        importlib.import_module(GROUPS[name]).run(suite)
        count = suite.passed + suite.failed - before
        print(f"{name}: {count} checks, {time.monotonic() - start:.1f} s")
    print(f"{suite.passed} passed, {suite.failed} failed, {suite.skipped} skipped")
    return 1 if suite.failed or suite.passed == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
