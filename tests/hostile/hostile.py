#!/usr/bin/python3
"""Texts that are made to take time or memory, one for every way a text can grow. Each must end with exit
status 0 or 1, and where it is beyond a limit, with the code of that limit at a place.

The watchdog and the limit of memory here are far above what any of them takes on an ordinary machine, so
that this is no test of speed; the slowest and the largest are printed.
With everything as large as it may be: `make hostile`. usage: hostile.py --selvage PATH [NAME...]"""
import argparse
import json
import os
import random
import re
import subprocess
import sys
import tempfile

SECONDS, BYTES = 10, 640 << 20  # generous: the aim is 1 s and 100 MB
MEGA = 1 << 20
MOST = 28 * MEGA  # of a text

CASES = []
SEARCHES = set()  # cases whose legs are to be found: within 100 MB, and the same when run again


def case(code=None, verbs=("check",)):
    """Registers a case: a function that gives a text, or a dictionary of files with main.slv among them.
    `code`: what must be told, at a place."""
    def keep(make):
        CASES.append((make.__name__.replace("_", " "), make, code, verbs))
        return make
    return keep


def search(code=None, verbs=("check", "search --ways 5", "expand")):
    """The same for legs to be found."""
    def keep(make):
        SEARCHES.add(make.__name__.replace("_", " "))
        return case(code, verbs)(make)
    return keep


# ---- building stones ----

def filled(part, size=2 * MEGA):
    return (part * (size // len(part) + 1))[:size]


def counted(form, size=2 * MEGA):
    """`form` with {} counted up, until it is as long as asked for."""
    rows, length, number = [], 0, 0
    while length < size:
        number += 1
        rows.append(form.replace("{}", str(number)))
        length += len(rows[-1])
    return "".join(rows)


EVEN = """frame even { inside 200 mm wide, 300 mm long; outline ellipse; holes head M1..M3 C1 C2
  holes throat M1..M3 C4 C3; tie-off 2H, 3H, 2T, 3T; tension 20..28 lb }
"""
LEGS = "one piece, long side right; tension 25 lb; mains from head, M1..M3 on each side; short tie 2T; long C4..C1, tie 3H"

# As many strands as can be: sixty mains a side, sixty crosses, of which half share a hole with a main.
DENSE = ("frame dense {\n  inside 400 mm wide, 500 mm long; outline ellipse; wall 11 mm\n  holes head " +
         " ".join(f"M{i}+C{i}" for i in range(1, 31)) + " M31..M60\n  holes throat " +
         " ".join(f"M{i}+C{61 - i}" for i in range(1, 31)) + " M31..M60\n"
         "  tie-off 40H, 41H, 42H, 50H, 40T, 41T, 42T, 50T\n  tension 20..30 lb\n}\n")
# The same with holes of their own for every strand.
WIDE = ("frame wide {\n  inside 400 mm wide, 500 mm long; outline ellipse; wall 11 mm\n"
        "  holes head M1..M30 C1..C30\n  holes throat M1..M30 C60..C31\n"
        "  tie-off 20H, 21H, 22H, 23H, 20T, 21T, 22T, 23T\n  tension 20..30 lb\n}\n")
FULL = "bench full { clamps 8 fixed, 8 starting }\n"
EMITS = ("check", "steps", "draw", "export", "order", "build", "format", "expand")
FORMS = ("check", "check --format json", "check --format sarif", "check --fix")


def many(full):
    """Numbers of patterns: as many as a text can hold, or fewer."""
    return range(1990 if full else 400)


def pattern(body, name="p", of="even"):
    return f"pattern {name} for {of} {{\n{body}\n}}\n"


def in_block(lines):
    return EVEN + pattern(LEGS + "\n" + lines)


def wide_legs(order_mains=None, order_crosses=None, more=""):
    mains = order_mains or [f"M{i}" for i in range(1, 31)]
    crosses = order_crosses or [f"C{i}" for i in range(60, 0, -1)]
    return (f"one piece, long side right; tension 25 lb; mains from head\n{more}\nright_long {', '.join(mains)}"
            .replace("right_long", "long") + f"\nshort {', '.join(mains)}, tie 20T\nlong {', '.join(crosses)}, tie 21T")


def scrambled(count, letter, seed):
    row = [f"{letter}{i}" for i in range(1, count + 1)]
    random.Random(seed).shuffle(row)
    return row


# ---- bytes, up to the largest text ----

def whole(name, part, code=None, before="", after="", always=False):
    """A text of one thing only, as large as a text may be; in `make check` most are smaller."""
    def make(full=True):
        size = (MOST if full or always else 3 * MEGA) - len(before.encode()) - len(after.encode())
        unit = part.encode() if isinstance(part, str) else part
        return before.encode() + unit * (size // len(unit)) + after.encode()
    make.__name__ = name
    case(code, ("check", "format"))(make)


whole("all newlines", "\n", always=True)
whole("all blanks", " ")
whole("all tabs", "\t", before="frame x", after="@")
whole("all one comment", "x", before="#")
whole("all comments", "#\n", "SV-109", always=True)
whole("all semicolons", ";", always=True)
whole("all semicolons on lines", ";\n", "SV-109")
whole("all semicolons in a block", ";", "SV-115", before="frame a {", after="}")
whole("all commas", ",", "SV-106")
whole("all opening braces", "{", "SV-106")
whole("all closing braces", "}", "SV-106")
whole("all pairs of braces", "{}", "SV-106")
whole("all braces on lines", "{\n", "SV-106")
whole("all braces nested in a block", "{", "SV-109", before="frame a {")
whole("all brackets", "(\n", "SV-103")
whole("all closing brackets", ") ", "SV-103")
whole("all quotes", '"', "SV-106")
whole("all open quotes", '"\n', "SV-104")
whole("all quotes and braces", '"{\n', "SV-104")
whole("one word", "a", "SV-108", always=True)
whole("one number", "1", "SV-108")
whole("one number with points", "1.", "SV-106")
whole("one hole", "1H", "SV-108")
whole("one strand", "1", "SV-108", before="M")
whole("one name of hyphens", "-a", "SV-108", before="a")
whole("one title", "x", "SV-108", before='frame a "', after='"')
whole("one open title", "x", "SV-104", before='frame a "')
whole("all points", ".", "SV-105")
whole("all backslashes", "\\", "SV-103")
whole("all at signs on lines", "@\n", "SV-103")
whole("all control characters", "\x01", "SV-103")
whole("all NUL", "\0", "SV-101")
whole("all bytes that are no text", b"\xff", "SV-101")
whole("all carriage returns", "\r", "SV-101")
whole("all line ends of two bytes", "\r\n")
whole("all letters with accents", "é", "SV-103")
whole("all wide characters", "漢", "SV-103")
whole("all wide characters in a comment", "漢", before="#")
whole("all letters with accents apart", "é a ", "SV-103")
whole("all words on one line", "M1 ", "SV-106")
whole("all words in a block", "M1 ", "SV-109", before="frame a { holes head ")
whole("all words in lines", "tie 6H\n", "SV-106")
whole("all uses of one file", 'use "a"\n', "SV-109")
whole("all empty frames", "frame a{}\n", "SV-109", always=True)
whole("all heads without a block", "frame a\n", "SV-109")
whole("all open blocks", "frame a{", "SV-109")
whole("all patterns of no frame", "pattern p for f{}", "SV-109")
whole("a wrong word after a long line", "漢", "SV-103", before=" \t", after=" @")


@case()
def more_than_the_largest_text():
    return b"#" * (MOST + 1)


@case()
def a_text_without_end():
    return {"main.slv": None}  # a link to /dev/zero


# ---- definitions ----

@case("SV-109")
def a_hundred_thousand_frames():
    return "".join(f"frame f{i} {{}}\n" for i in range(100000))


@case("SV-109")
def a_hundred_thousand_patterns_of_unknown_frames():
    return EVEN + "".join(f"pattern p{i} for evne {{}}\n" for i in range(100000))


@case("SV-109")
def a_hundred_thousand_strings():
    return "".join(f"string s{i} {{ gauge 1.2 mm }}\n" for i in range(100000))


@case("SV-109")
def a_hundred_thousand_of_one_name():
    return "".join("bench b { clamps 2 fixed }\n" for i in range(100000))


@case("SV-109")
def words_of_all_blocks():
    return "".join(f"frame f{i} {{ holes head {'M1 ' * 4900}\n}}\n" for i in range(100))


@case("SV-109")
def words_and_comments():
    return "#\n" * 300000 + "".join(f"frame f{i} {{ holes head {'M1 ' * 4900}\n}}\n" for i in range(30))


@case("SV-120", ("steps --ignore SV-316 --ignore SV-514 --ignore SV-611",))
def memory_for_many_large_patterns():
    # without -p every pattern is compiled and kept
    return WIDE + "".join(pattern(wide_legs(), f"p{i}", "wide") for i in range(1900))


@case("SV-109")
def a_hundred_thousand_files():
    return "".join(f'use "missing-{i}.slv"\n' for i in range(100000))


@case("SV-117")
def names_that_are_all_near():
    long = "a" * 56
    return (EVEN + "".join(f"string {long}-{i:05} {{ gauge 1.2 mm }}\n" for i in range(400)) +
            "".join(pattern(LEGS + f"; string {long}-9{i:04}", f"p{i}") for i in range(800)))


@case()
def frames_as_many_as_may_be():
    return "".join(DENSE.replace("frame dense", f"frame f{i}") for i in range(200))


@case(verbs=("check", "build"))
def patterns_as_many_as_may_be():
    return EVEN + "".join(pattern(LEGS, f"p{i}") for i in range(200))


@case()
def patterns_with_a_warning_each():
    return EVEN + "".join(pattern(LEGS.replace("tension 25 lb", "tension 19 lb"), f"p{i}") for i in range(200))


@case()
def megabytes_of_patterns():
    return EVEN + counted("pattern p{} for even {\n" + LEGS + "\n}\n", 4 * MEGA)


@case()
def megabytes_of_dense_frames():
    return counted(DENSE.replace("frame dense", "frame f{}"), 4 * MEGA)


@case()
def megabytes_of_frames_with_stations():
    stations = ", ".join(f"{60 + i / 10} mm at {1 + 2 * i} mm" for i in range(200))
    return counted(DENSE.replace("frame dense", "frame f{}").replace("outline ellipse", "outline stations " + stations), 4 * MEGA)


@case()
def megabytes_of_scrambled_patterns():
    body = wide_legs(scrambled(30, "M", 1), scrambled(60, "C", 2))
    return WIDE + counted("pattern p{} for wide {\n" + body + "\n}\n", 4 * MEGA)


@case()
def megabytes_of_patterns_short_of_clamps():
    body = dense_two("bench none")
    return DENSE + "bench none { clamps 0 fixed }\n" + counted("pattern p{} for dense {\n" + body + "\n}\n", 4 * MEGA)


@case()
def megabytes_of_tensions():
    rules = ", ".join(["M1..M30 25 lb"] * 990)
    return WIDE + counted("pattern p{} for wide {\n" + wide_legs(more="tension " + rules) + "\n}\n", 4 * MEGA)


@case("SV-109")
def settings():
    return "# ignore SV-301: a reason\n" * 100000


@case("SV-109")
def settings_between_lines_that_go_on():
    return EVEN + pattern(LEGS) + "frame a { tie-off 2H,\n" + "# ignore SV-301: a reason\n2H,\n" * 2000 + "3H }\n"


@case()
def settings_and_findings():
    return "# ignore text: a reason\n@\n" * 400


# ---- inside a block ----

@case("SV-109")
def holes_of_a_list():
    return f"frame a {{ inside 200 mm wide, 300 mm long; outline ellipse; tie-off 1H\n holes head {' '.join(['M1..M60'] * 1600)}\n holes throat M1 }}"


@case("SV-109")
def unused_holes_of_a_list():
    return f"frame a {{ inside 200 mm wide, 300 mm long; outline ellipse; tie-off 1H\n holes head {'- ' * 4000}\n holes throat M1 }}"


@case("SV-110")
def numbers_beyond_all_sense():
    return f"frame a {{ holes head {' '.join(f'M{i}' for i in range(61, 1000))} M{'9' * 60} }}"


@case()
def tie_off_holes():
    return DENSE.replace("tie-off ", "tie-off " + "40H, " * 2300)


@case("SV-208")
def tie_off_holes_that_are_not_there():
    return DENSE.replace("tie-off ", "tie-off " + ", ".join(["60H, 61H"] * 1100).replace("61H", "60T") + ", ").replace("M31..M60", "M31..M59")


@case("SV-211")
def guides():
    return DENSE.replace("  tension", "".join(f"  guide {i % 60 + 1}H {'front' if i % 7 else 'back'}\n" for i in range(1100)) + "  tension")


@case("SV-209")
def tape_marks():
    return DENSE.replace("  tension", "  tape " + ", ".join(f"{i % 60 + 1}H at {i} mm" for i in range(900)) + "\n  tension")


@case("SV-109")
def stations():
    return DENSE.replace("outline ellipse", "outline stations " + ", ".join(f"{50 + i % 9} mm at {i / 10} mm" for i in range(1, 700)))


@case("SV-109")
def points_of_a_mount():
    return "bench b { mount inside " + ", ".join(f"{1 + i / 1000:.3f}" for i in range(2000)) + " }\n" + in_block("bench b")


@case("SV-212")
def stations_that_run_back():
    return DENSE.replace("outline ellipse", "outline stations " + ", ".join(f"50 mm at {300 - i} mm" for i in range(200)))


@case()
def tensions():
    return WIDE + pattern(wide_legs(more="tension " + ", ".join(["M1..M30 25 lb"] * 700)), of="wide")


@case()
def changes_of_tension():
    return WIDE + pattern(wide_legs(more="tension " + ", ".join(["C1..C60 +0.01 %"] * 600)), of="wide")


@case(verbs=EMITS)
def notes():
    return in_block("".join(f'note "{"x" * 190}"\n' for i in range(1600)))


@case(verbs=EMITS)
def titles_and_names_as_long_as_may_be():
    name = "a" * 64
    return (EVEN.replace("frame even", f'frame {name} "{"漢" * 66}"') +
            pattern(LEGS, f'{name} "{"<&>" * 66}"', name))


@case("SV-110")
def more_clamps_than_a_bench_has():
    return EVEN + "bench many { clamps 9 fixed, 999999999999 starting }\n" + pattern(LEGS + "; bench many")


@case("SV-110")
def threading_beyond_all_strands_ahead():
    return EVEN + pattern(LEGS.replace("C4..C1", "C4..C1, thread 61 ahead") + "; mains from head, pull 999999999999 ahead then 61")


@case("SV-109")
def strands_of_the_legs():
    return WIDE + pattern(wide_legs() + "\nlong " + ", ".join(["C1..C60"] * 1000), of="wide")


@case("SV-302")
def strands_strung_again_and_again():
    return WIDE + pattern(wide_legs(more="long " + ", ".join(["C1..C60"] * 30) + ", thread 60 ahead"), of="wide")


@case("SV-302")
def strands_pulled_again_and_again():
    return WIDE + pattern(wide_legs(more="long C1..C60, " + ", ".join(["pull C1..C60"] * 30) + ", thread 60 ahead"), of="wide")


@case("SV-605")
def work_after_the_knot():
    return WIDE + pattern(wide_legs() + "\nlong " + ", ".join(["tie 21T"] * 1500), of="wide")


@case("SV-607")
def starts():
    return WIDE + pattern(wide_legs(more="long " + ", ".join(["start right 21T clamp"] * 900)), of="wide")


@case()
def a_skip_list():
    return WIDE + pattern(wide_legs(more="crosses from throat, skip " + ", ".join(["C1..C60"] * 900)), of="wide")


@case("SV-114")
def options_said_again_and_again():
    return WIDE + pattern(wide_legs(more="mains from head" + ", pull 2 ahead" * 1000), of="wide")


@case("SV-109")
def a_thousand_legs():
    return WIDE + pattern("one piece; tension 25 lb; mains from head\n" + "".join("long C1..C60\nshort M1..M30\n" for i in range(400)), of="wide")


@case("SV-114")
def lines_said_again_and_again():
    return EVEN.replace("outline ellipse", "outline ellipse; " * 400 + "outline ellipse; " + "inside 200 mm wide, 300 mm long;" * 300) + pattern(LEGS)


@case("SV-103", FORMS)
def a_million_findings():
    return "@ # x\n" * 1000000


@case("SV-114")
def findings_of_long_lines():
    return "frame a { " + "wall 999999999999 mm; " * 1200 + "}"


@case("SV-103", FORMS)
def findings_with_tabs_and_wide_characters():
    return ("\t漢\t" * 60000 + "@\n") * 8


@case("SV-106", FORMS)
def findings_behind_marks_without_width():
    return ("e" + "\u0301" * 100000 + " @\n") * 8


@case("SV-103", FORMS)
def findings_far_out_in_one_line():
    return " " * (8 * MEGA) + "frame a {" + "@; " * 900 + "}"


@case("SV-105", FORMS)
def changes_by_the_thousand():
    return "frame a { holes head " + "7h; M03; M1-M6; " * 330 + "}"


@case("SV-105", FORMS)
def changes_in_the_longest_line():
    return "frame a { " + " " * (4 * MEGA) + "tie-off 7h; tie-off 07H }"


@case("SV-702", FORMS)
def warnings_of_two_thousand_patterns():
    return EVEN + "".join(pattern(LEGS.replace("tension 25 lb", "tension 19 lb"), f"p{i}") for i in range(1900))


# ---- the largest rackets ----

def dense_two(more=""):
    return ("two pieces; tension 25 lb; mains from head, M1..M60 on each side, pull 3 ahead then 2\n" + more +
            "\nleft tie 41H; right tie 41H\ncross start right 40T clamp, C1..C60, thread 1 ahead, tie 40T")


@case(verbs=EMITS)
def the_largest_racket_in_one_piece():
    return WIDE + pattern(wide_legs(), of="wide")


@case(verbs=EMITS)
def the_largest_racket_in_two_pieces():
    return WIDE + FULL + pattern("two pieces; tension 25 lb; bench full\nmains from head, M1..M30 on each side, pull 60 ahead\nleft tie 21H; right tie 21H\n"
                                 "cross start right 22H clamp, C1..C60, thread 60 ahead, tie 20T", of="wide")


@case(verbs=EMITS)
def shared_holes_without_end():
    return DENSE + FULL + pattern(dense_two("bench full"), of="dense")


@case("SV-510")
def no_clamps_at_all():
    return WIDE + "bench none { clamps 0 fixed, 0 starting }\n" + pattern(wide_legs(more="bench none"), of="wide")


@case()
def clamps_one_too_few():
    crosses = ", ".join(f"C{i}" for i in range(1, 61))
    return WIDE + "bench one { clamps 1 fixed, 8 starting }\n" + pattern(
        f"two pieces; bench one; tension 25 lb; mains from head, M1..M30 on each side\ncross start right 22H clamp, {crosses}\nleft tie 21H; right tie 21H; cross tie 20T", of="wide")


@case()
def every_strand_in_another_order():
    return WIDE + pattern(wide_legs(scrambled(30, "M", 3), scrambled(60, "C", 4)), of="wide")


@case()
def every_strand_in_another_order_in_one_lane():
    return WIDE.replace("  tension", "  lanes 1\n  tension") + pattern(wide_legs(scrambled(30, "M", 3), scrambled(60, "C", 4)), of="wide")


@case()
def every_cross_from_the_other_side():
    crosses = [f"C{i} from {'left' if i % 3 else 'right'}" for i in range(60, 0, -1)]
    return WIDE + pattern(wide_legs(None, crosses), of="wide")


@case()
def every_cross_threaded_before_it_is_pulled():
    return WIDE + FULL + pattern(wide_legs(None, [f"thread C{i}" for i in range(60, 0, -1)] + [f"pull C{i}" for i in range(60, 0, -1)], "bench full"), of="wide")


@case()
def two_ends_in_turn_for_every_strand():
    rows = "\n".join(f"long C{i}\nshort C{i - 1}" for i in range(60, 0, -2))
    mains = ", ".join(f"M{i}" for i in range(1, 31))
    return WIDE + FULL + pattern(f"one piece; bench full; tension 25 lb; mains from head\nlong {mains}\nshort {mains}\n{rows}\nshort tie 20T\nlong tie 21T", of="wide")


@case()
def a_guide_at_every_hole():
    guides = "".join(f"  guide {i}H {'front' if i % 2 else 'back'}\n  guide {i}T {'front' if i % 3 else 'back'}\n" for i in range(1, 61))
    return WIDE.replace("  tension", guides + "  tension") + pattern(wide_legs(scrambled(30, "M", 5), None), of="wide")


# ---- legs to be found ----

ONE, TWO = "one piece; tension 25 lb", "two pieces; tension 25 lb"
LARGE = ("SV-518", "SV-519")  # a search that is cut short


def knots_at(frame, holes):
    return re.sub(r"tie-off [^\n]*", f"tie-off {holes}", frame)


def knots_everywhere(frame, mains):
    return knots_at(frame, ", ".join(f"{i}H, {i}T" for i in range(1, mains + 1)))


def named(letter, numbers):
    return ", ".join(f"{letter}{i}" for i in numbers)


def guided(frame):
    guides = "".join(f"  guide {i}H {'front' if i % 2 else 'back'}\n  guide {i}T {'front' if i % 3 else 'back'}\n" for i in range(1, 61))
    return frame.replace("  tension", guides + "  tension")


@search(LARGE)
def nothing_said_of_the_densest_racket():
    return DENSE + pattern(ONE, of="dense")


@search("SV-509")
def nothing_said_and_two_knots():
    tape = ", ".join(f"{i}{place} at {3 + 20 / 3 * (i - 1):.2f} mm" for place in "HT" for i in range(1, 36))
    return f"""frame large {{
  inside 250 mm wide, 340 mm long; outline ellipse
  holes head   M1..M20 C1..C15
  holes throat M1..M20 C30..C16
  tape {tape}
  tie-off 1H, 1T
}}
""" + pattern(ONE, of="large")


@search("SV-509")
def a_small_racket_when_the_others_took_it_all():
    return DENSE + pattern(ONE, of="dense") + """frame tiny {
  inside 160 mm wide, 240 mm long; outline ellipse; lanes 1
  holes head M1 M2 C1 C2
  holes throat M1 M2 C4 C3
  tape 1H at 10 mm, 2H at 30 mm, 3H at 60 mm, 4H at 90 mm, 1T at 10 mm, 2T at 30 mm, 3T at 60 mm, 4T at 100 mm
  tie-off 1H
}
bench few { clamps 0 fixed, 1 starting }
pattern small for tiny { one piece; tension 24 lb; bench few }
pattern of-lines for tiny { one piece; tension 24 lb; bench few; mains from head; crosses from head }
"""


@search("SV-509")
def nothing_said_of_the_densest_racket_in_two_pieces():
    return DENSE + pattern(TWO, of="dense")


@search()
def nothing_said_of_the_widest_racket():
    return WIDE + pattern(ONE, of="wide")


@search()
def nothing_said_of_the_widest_racket_in_two_pieces():
    return WIDE + pattern(TWO, of="wide")


@search(LARGE)
def every_cross_skipped():
    return WIDE + pattern(ONE + "; crosses from head, skip C1..C60", of="wide")


@search(LARGE)
def every_cross_skipped_in_two_pieces():
    return DENSE + pattern(TWO + "; crosses from throat, skip C1..C60", of="dense")


@search(LARGE)
def every_other_cross_skipped():
    return WIDE + pattern(f"{ONE}; crosses from head, skip {named('C', range(1, 61, 2))}", of="wide")


@search(LARGE)
def every_strand_held():
    strands = [f"M{i}" for i in range(1, 31)] + [f"C{i}" for i in range(1, 61)]
    return WIDE + pattern(ONE + "\n" + "".join(f"hold {strand} for later\n" for strand in strands), of="wide")


@search("SV-509")
def half_of_the_strands_held_for_the_short_end():
    holds = "".join(f"hold C{i} for short\nhold left M{i} for later\n" for i in range(1, 31))
    return WIDE + pattern(ONE + "; loops up to 400 mm\n" + holds, of="wide")


@search("SV-109")
def hold_lines():
    return WIDE + pattern(ONE + "\n" + "hold M30, C1..C60 for later\n" * 800, of="wide")


@search(LARGE)
def a_knot_at_every_main():
    return knots_everywhere(WIDE, 30) + pattern(ONE + "; loops up to 600 mm", of="wide")


@search(LARGE)
def a_knot_at_every_main_in_two_pieces():
    return knots_everywhere(DENSE, 60) + pattern(TWO + "; loops up to 600 mm", of="dense")


@search(LARGE)
def a_knot_at_every_main_and_short_loops():
    skipped = named("C", [i for i in range(1, 61) if i not in (3, 28, 41)])
    return knots_everywhere(DENSE, 30) + pattern(f"{ONE}; crosses from head, skip {skipped}; loops up to 30 mm; fixed clamps 2; "
                                                 "aims longest loop, late mains", of="dense")


@search(LARGE)
def a_few_crosses_skipped_and_short_loops():
    return WIDE + pattern(f"{ONE}; crosses from head, skip {named('C', (2, 6, 20, 27, 33, 34, 36, 39, 46, 59))}\n"
                          "hold right M29..M30 for long; loops up to 30 mm; fixed clamps 2; starting clamps 2", of="wide")


@search()
def loops_as_long_as_they_like():
    return WIDE + pattern(ONE + "; loops up to 900 mm; aims changes", of="wide")


@search()
def loops_as_long_as_they_like_in_one_lane():
    return WIDE.replace("  tension", "  lanes 1\n  tension") + pattern(TWO + "; loops up to 900 mm; aims loop length", of="wide")


@search("SV-509")
def a_guide_at_every_hole_and_no_leg():
    return guided(WIDE) + pattern(ONE, of="wide")


@search()
def guides_and_skipped_crosses():
    frame = knots_everywhere(WIDE, 30).replace("  tension", "".join(f"  guide {i}H {'front' if i < 30 else 'back'}\n"
                                                                    for i in range(2, 60, 2)) + "  tension")
    skipped = named("C", [i for i in range(1, 61) if i % 4])
    return frame + pattern(f"{TWO}; crosses from head by cross, skip {skipped}", of="wide")


@search("SV-509")
def no_clamps_for_what_is_to_be_found():
    return WIDE + pattern(TWO + "; fixed clamps 0; starting clamps 0", of="wide")


@search("SV-509")
def one_clamp_for_what_is_to_be_found():
    return DENSE + pattern(TWO + "; fixed clamps 1; starting clamps 1; aims changes", of="dense")


@search(LARGE)
def around_the_densest_world():
    return DENSE + pattern(ONE + "; around the world; crosses from head, skip C1..C9; finish at head; aims longest loop", of="dense")


@search()
def every_strand_an_item_of_its_own():
    # more items than strands: each is threaded and pulled by itself
    def items(letter):
        return ", ".join(f"thread {letter}{i}, pull {letter}{i}" for i in range(1, 61))
    return DENSE + FULL + pattern(f"{TWO}; bench full; mains from head\nleft {items('M')}\nright {items('M')}\n"
                                  f"cross {items('C')}\nfind the rest", of="dense")


@search()
def every_strand_a_leg_of_its_own():
    mains = "".join(f"long M{i}\nshort M{i}\n" for i in range(1, 31))
    crosses = "".join(f"long C{i}\n" for i in range(60, 0, -1))
    return WIDE + pattern(f"{ONE}; mains from head\n{mains}{crosses}find the rest", of="wide")


@search()
def legs_that_leave_every_other_strand():
    mains = "".join(f"long M{i}\n" for i in range(1, 31, 2))
    crosses = "".join(f"short C{i}\n" for i in range(1, 61, 2))
    return WIDE + pattern(f"{ONE}; loops up to 900 mm\n{mains}{crosses}find the rest", of="wide")


@search()
def legs_that_leave_every_other_cross():
    crosses = "".join(f"{'long' if i % 4 == 1 else 'short'} C{i}\n" for i in range(1, 61, 2))
    return WIDE + pattern(f"{ONE}; loops up to 900 mm; mains from head, M1..M30 on each side\n{crosses}find the rest", of="wide")


@search("SV-509", ("check",))
def lines_that_exclude_each_other():
    holds = "".join(f"hold C{i} for {'short' if i % 2 else 'long'}\n" for i in range(1, 40))
    return WIDE + pattern(f"{ONE}; mains from head; crosses from head by long; loops up to 12 mm; finish at head; fixed clamps 1; "
                          f"around the world\n{holds}", of="wide")


@search(None, ("check", "check --format json"))
def patterns_without_legs_as_many_as_may_be(full=True):
    return EVEN + "".join(pattern(ONE if i % 2 else TWO, f"p{i}") for i in many(full))


@search("SV-509", ("check",))
def dense_patterns_without_legs_as_many_as_may_be(full=True):
    return DENSE + "".join(pattern(ONE if i % 2 else TWO, f"p{i}", "dense") for i in many(full))


@search(None, ("build",))
def patterns_without_legs_that_are_built():
    return EVEN + "".join(pattern(ONE if i % 2 else TWO, f"p{i}") for i in range(200))


@search("SV-509", ("check", "check --format json"))
def patterns_without_any_way_as_many_as_may_be(full=True):
    return EVEN + "".join(pattern(f"{ONE}; mains from head; crosses from head by long; around the world; loops up to {20 + i % 7} mm\n"
                                  "finish at head; fixed clamps 1; hold M3 for later; hold C1..C2 for short", f"p{i}") for i in many(full))


@search("SV-509", ("check",))
def dense_patterns_without_any_way_as_many_as_may_be(full=True):
    return DENSE + "".join(pattern(f"{TWO}; mains from head; crosses from head; finish at head; loops up to 30 mm; fixed clamps 1",
                                   f"p{i}", "dense") for i in many(full))


@search(LARGE, ("check",))
def patterns_that_skip_as_many_as_may_be(full=True):
    return WIDE + "".join(pattern(ONE + "; crosses from head, skip C1..C60", f"p{i}", "wide") for i in many(full))


@search("SV-509", ("check",))
def patterns_with_legs_that_leave_no_way_as_many_as_may_be(full=True):
    legs = "long M1..M2\nshort C4\nlong C1\nfind the rest"
    return EVEN + "".join(pattern(f"{ONE}; loops up to 20 mm\n{legs}", f"p{i}") for i in many(full))


# ---- files that use files ----

@case("SV-119")
def files_deep_below_one_another():
    return {"main.slv": 'use "f0.slv"\n', **{f"f{i}.slv": f'use "f{i + 1}.slv"\n' for i in range(20)}, "f20.slv": ""}


@case("SV-109")
def a_file_that_uses_a_thousand():
    return {"main.slv": "".join(f'use "f{i}.slv"\n' for i in range(1000)), **{f"f{i}.slv": "" for i in range(1000)}}


@case("SV-109")
def a_tree_of_files_that_branches_without_end():
    # a folder that holds itself under two names: 2 to the power of 16 paths lead to one file
    return {"main.slv": 'use "a/main.slv"\nuse "b/main.slv"\n', "a": ".", "b": "."}


@case()
def a_file_that_uses_itself():
    return 'use "main.slv"\nuse "./main.slv"\nuse "x/../main.slv"\n' * 20000 + EVEN + pattern(LEGS)


@case()
def files_that_use_each_other():
    return {"main.slv": 'use "a.slv"\nuse "b.slv"\n' + EVEN + pattern(LEGS), "a.slv": 'use "b.slv"\nuse "main.slv"\n', "b.slv": 'use "a.slv"\n'}


@case("SV-109")
def used_files_that_are_too_large_together():
    return {"main.slv": "".join(f'use "f{i}.slv"\n' for i in range(40)), **{f"f{i}.slv": b"#" * (4 * MEGA) for i in range(20)}}


@case("SV-118")
def a_device_without_end_used_again_and_again():
    return 'use "/dev/zero"\n' * 300


@case("SV-118")
def a_pipe_that_is_used():
    return {"main.slv": 'use "pipe"\n', "pipe": "|"}


@case("SV-118")
def standard_input_that_is_used():
    return 'use "/dev/stdin"\nuse "/proc/self/mem"\nuse "/dev/tty"\n'


@case("SV-118")
def a_folder_that_is_used():
    return {"main.slv": 'use "a"\n', "a": "."}


# ---- running them ----

def lay(folder, files):
    if isinstance(files, (str, bytes)):
        files = {"main.slv": files}
    for name, text in files.items():
        path = os.path.join(folder, name)
        if text is None:
            os.symlink("/dev/zero", path)
        elif text == "|":
            os.mkfifo(path)
        elif text == ".":
            os.symlink(".", path)
        else:
            with open(path, "wb") as file:
                file.write(text if isinstance(text, bytes) else text.encode())


def measure(command, folder, limited):
    """(status or None for the watchdog, seconds, peak bytes, output)"""
    watch = os.path.join(os.path.dirname(command[0]), "hostile/watch")
    done = subprocess.run([watch, str(SECONDS * (1 if limited else 20)), str(BYTES if limited else 0), "said", *command], cwd=folder,
                          stdout=subprocess.PIPE, check=True, encoding="ascii")
    status, spent, peak = done.stdout.split()
    with open(os.path.join(folder, "said"), "rb") as said:
        out = said.read(1 << 20) + said.read()[-4000:]
    return None if status == "late" else int(status), float(spent), int(peak) * 1024, out


def words_for(verb):
    return ["build", "main.slv", "-o", "out"] if verb == "build" else [*verb.split(), "main.slv"]


def places(selvage, folder):
    """The codes that are told at a place, by the findings as JSON."""
    done = subprocess.run([selvage, "check", "--format", "json", "main.slv"], cwd=folder, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    try:
        return {finding["code"] for finding in json.loads(done.stdout)["findings"] if "line" in finding}
    except ValueError:
        return {"no JSON"}


def is_told(selvage, folder, out, code):
    """Whether a code, or one of several, is told at a place: among the findings that are shown, or among all of them."""
    codes = (code,) if isinstance(code, str) else code
    shown = re.search(rb"^\S+:\d+:\d+: (error|warning): .*\[(" + "|".join(codes).encode() + rb")\]$", out, re.M)
    return bool(shown) or bool(places(selvage, folder).intersection(codes))


def trial(selvage, chosen, limited, full):
    """[(name and verb, status, seconds, bytes, output, code due, whether it is told at a place)]"""
    for name, make, code, verbs in CASES:
        if chosen and name not in chosen:
            continue
        with tempfile.TemporaryDirectory() as folder:
            lay(folder, make(full) if make.__code__.co_argcount else make())
            told = code is None
            if name in SEARCHES and not full:  # the other verbs search alike; make hostile runs all
                verbs = ("check",)
            for verb in verbs:
                got = measure([selvage, *words_for(verb)], folder, limited)
                told = told or is_told(selvage, folder, got[3], code)
                yield (f"{name}, {verb}", *got, code, told)
                twice = next((verb for verb in verbs if verb.startswith("search")), "check")
                if name in SEARCHES and verb == twice and (full or got[1] < 0.5):
                    again = measure([selvage, *words_for(verb)], folder, limited)
                    yield (f"{name}, {verb}, again", *again[:3], got[3] if again[3] == got[3] else b"another output", code, told)


def run(suite):
    sanitized = b"__asan" in subprocess.run(["nm", suite.selvage], capture_output=True).stdout
    rows = []
    for name, status, spent, peak, out, code, told in trial(suite.selvage, (), not sanitized, False):
        suite.check(f"{name}: ends with 0 or 1", status in (0, 1), f"{status} after {spent:.1f} s\n{out[-600:].decode(errors='replace')}")
        suite.check(f"{name}: no fault of the compiler", not re.search(rb"(\[|(code|ruleId)\":\")SV-(901|314)\b", out), out[-600:])
        suite.check(f"{name}: {code} at a place", told, out[-600:].decode(errors="replace"))
        if name.endswith(", again"):
            suite.check(f"{name}: the same output", out != b"another output")
        if name.split(",")[0] in SEARCHES:
            suite.check(f"{name}: within 100 MB", sanitized or peak < 100 * MEGA, f"{peak / MEGA:.0f} MB")
        rows.append((spent, peak, name))
    slow, large = max(rows), max(rows, key=lambda row: row[1])
    print(f"hostile: slowest {slow[0]:.2f} s ({slow[2]}), largest {large[1] / MEGA:.0f} MB ({large[2]})")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--selvage", default="build/selvage")
    parser.add_argument("names", nargs="*")
    words = parser.parse_args()
    for name, status, spent, peak, out, code, told in trial(os.path.abspath(words.selvage), words.names, True, True):
        good = status in (0, 1) and told and spent < 1 and peak < (300 if name.endswith("format") else 100) * MEGA
        codes = sorted(set(re.findall(rb"\[(SV-\d+)\]$", out, re.M)))
        print(f"{' ' if good else '!'} {name:64} {status} {spent:6.2f} s {peak / MEGA:6.1f} MB  "
              f"{code if isinstance(code, str) else '/'.join(code or '-')}{'' if told else ' is not told'} {b' '.join(codes).decode()}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
