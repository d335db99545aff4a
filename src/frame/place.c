/* Places: from distances along a tape to points on the hoop, and the lengths of the strands. */
#include "frame/holes.h"

#include <math.h>
#include <stdlib.h>

/* Grommets of a strung hoop stand no closer; and from one stretch of a hoop to the next their
 * distance does not change by more than this factor. Both from memory of usual frames, with much to
 * spare. */
static const double CLOSEST = 3.5; /* mm */
static const double MOST_UNEVEN = 4;

/* A place given along one half of the hoop: `step` counts holes from the head's centre line. */
struct known {
    double step, arc;
    const struct tape_mark *mark; /* NULL for the two centre lines */
};

struct half {
    const struct frame *frame;
    enum side side;
    int head_count, throat_count; /* without 0H and 0T */
    bool centre;
};

/* A first hole beside the centre line stands half a step from it. */
static double head_step(const struct half *half, int number) {
    return half->centre ? number : number - 0.5;
}

static double whole_steps(const struct half *half) {
    double outermost = head_step(half, half->head_count) + 1;
    return outermost + (half->centre ? half->throat_count : half->throat_count - 0.5);
}

static double throat_step(const struct half *half, int number) {
    return whole_steps(half) - head_step(half, number);
}

static struct half half_of(const struct frame *frame, enum side side) {
    struct half half = {.frame = frame, .side = side};
    for (int i = 0; i < frame->hole_count; i++) {
        const struct hole *hole = &frame->holes[i];
        if (hole->side == SIDE_CENTRE) half.centre = true;
        if (hole->side != side) continue;
        if (hole->place == PLACE_HEAD)
            half.head_count++;
        else
            half.throat_count++;
    }
    return half;
}

static int by_step(const void *left, const void *right) {
    const struct known *a = left, *b = right;
    return a->step < b->step ? -1 : a->step > b->step;
}

static const char *mark_hole(struct arena *arena, const struct tape_mark *mark) {
    const char *side = mark->mirrored || mark->number == 0 ? "" : side_word(mark->side);
    return format(arena, "%s%s%d%c", side, side[0] != '\0' ? " " : "", mark->number,
                  mark->place == PLACE_HEAD ? 'H' : 'T');
}

/* Whether two neighbouring given places rise along the hoop; says what is wrong where not. */
static bool rising(const struct half *half, struct arena *arena, struct report *report,
                   const struct known *before, const struct known *after) {
    if (after->arc > before->arc + 0.01 && after->step > before->step) return true;
    const struct tape_mark *mark = after->mark != NULL ? after->mark : before->mark;
    if (mark == NULL || (mark->mirrored && half->side == SIDE_LEFT)) return false;
    struct finding *finding;
    if (before->mark != NULL && after->mark != NULL && before->step == after->step) {
        finding = report_add(report, RULE_tape_order, mark->span, "%s is given two distances",
                             mark_hole(arena, mark));
        finding_note(report, finding, before->mark->span, "the other one");
    } else if (before->mark != NULL && after->mark != NULL) {
        finding =
            report_add(report, RULE_tape_order, mark->span,
                       "the tape runs backwards from %s to %s: %s mm, then %s mm from the "
                       "head's centre line",
                       mark_hole(arena, before->mark), mark_hole(arena, after->mark),
                       format_decimal(arena, before->arc, 1), format_decimal(arena, after->arc, 1));
        finding_note(report, finding, before->mark->span, "%s is given here",
                     mark_hole(arena, before->mark));
    } else {
        finding =
            report_add(report, RULE_tape_order, mark->span,
                       "%s at %s mm lies outside its half of the hoop, which is %s mm long from "
                       "head to throat",
                       mark_hole(arena, mark), format_decimal(arena, mark->distance, 1),
                       format_decimal(arena, half->frame->outline.half_arc, 1));
    }
    finding_help(
        report, finding,
        "tape gives the way along the inside of the hoop from the centre line, at the head "
        "for H, at the throat for T");
    return false;
}

/* The distance of neighbouring holes between two given places. */
static double pitch(const struct known *from, const struct known *to) {
    return (to->arc - from->arc) / (to->step - from->step);
}

static const char *known_words(struct arena *arena, const struct known *known, bool from) {
    return known->mark != NULL ? mark_hole(arena, known->mark)
           : from              ? "the head's centre line"
                               : "the throat's centre line";
}

/* "from 1H to 10H 1.6 mm". */
static const char *pitch_words(struct arena *arena, const struct known *from) {
    return format(arena, "from %s to %s %s mm", known_words(arena, from, true),
                  known_words(arena, from + 1, false),
                  format_decimal(arena, pitch(from, from + 1), 1));
}

/* Of the given places `at` and the one after it the one whose mark is more likely wrong: without it
 * the holes would lie farther apart. */
static int likely_wrong(const struct known *known, int at, int count) {
    if (known[at].mark == NULL) return at + 1;
    if (known[at + 1].mark == NULL || at + 2 >= count) return at;
    double without = pitch(&known[at - 1], &known[at + 1]);
    return without > pitch(&known[at], &known[at + 2]) ? at : at + 1;
}

/* Says which mark spreads the holes as no hoop has them, once for a half. */
static void judge_pitches(const struct half *half, struct arena *arena, struct report *report,
                          const struct known *known, int count) {
    int wrong = -1, close = -1;
    for (int i = 0; i + 1 < count && wrong < 0; i++)
        if (pitch(&known[i], &known[i + 1]) < CLOSEST) {
            close = i;
            wrong = likely_wrong(known, i, count);
        }
    for (int i = 1; i + 1 < count && wrong < 0; i++) {
        double before = pitch(&known[i - 1], &known[i]), after = pitch(&known[i], &known[i + 1]);
        if (before > MOST_UNEVEN * after || after > MOST_UNEVEN * before) wrong = i;
    }
    const struct tape_mark *mark = wrong < 0 ? NULL : known[wrong].mark;
    if (mark == NULL || (mark->mirrored && half->side == SIDE_LEFT)) return;
    const char *before = pitch_words(arena, &known[wrong - 1]);
    const char *after = pitch_words(arena, &known[wrong]);
    struct finding *finding = report_add(
        report, RULE_holes_uneven, mark->span, "with %s at %s mm the holes lie %s: %s, %s",
        mark_hole(arena, mark), format_decimal(arena, mark->distance, 1),
        close >= 0 ? "too close" : "unevenly", before, after);
    finding_help(
        report, finding,
        "tape gives the way along the inside of the hoop from the centre line, at the head "
        "for H, at the throat for T: measure %s again",
        mark_hole(arena, mark));
}

/* Lays out one half between the given places, evenly from one to the next. */
static bool place_half(struct frame *frame, struct arena *arena, struct report *report,
                       enum side side, const struct tape_mark *marks, int mark_count) {
    struct half half = half_of(frame, side);
    double length = frame->outline.half_arc;
    struct known *known = arena_many(arena, struct known, mark_count + 2);
    int count = 0;
    known[count++] = (struct known){0, 0, NULL};
    known[count++] = (struct known){whole_steps(&half), length, NULL};
    for (int i = 0; i < mark_count; i++) {
        if (marks[i].side != side && marks[i].side != SIDE_CENTRE) continue;
        bool head = marks[i].place == PLACE_HEAD;
        /* 0H and 0T stand on the centre lines, which are given already. */
        if (marks[i].number == 0 && fabs(marks[i].distance) < 0.01) continue;
        known[count++] = (struct known){
            head ? head_step(&half, marks[i].number) : throat_step(&half, marks[i].number),
            head ? marks[i].distance : length - marks[i].distance, &marks[i]};
    }
    qsort(known, (size_t)count, sizeof *known, by_step);
    for (int i = 0; i + 1 < count; i++)
        if (!rising(&half, arena, report, &known[i], &known[i + 1])) return false;
    judge_pitches(&half, arena, report, known, count);
    for (int i = 0; i < frame->hole_count; i++) {
        struct hole *hole = &frame->holes[i];
        if (hole->side != side && hole->side != SIDE_CENTRE) continue;
        double step = hole->place == PLACE_HEAD ? head_step(&half, hole->number)
                                                : throat_step(&half, hole->number);
        if (hole->number == 0) step = hole->place == PLACE_HEAD ? 0 : whole_steps(&half);
        int low = 0;
        while (low + 2 < count && known[low + 1].step <= step)
            low++;
        double share = (step - known[low].step) / (known[low + 1].step - known[low].step);
        double arc = known[low].arc + share * (known[low + 1].arc - known[low].arc);
        hole->at = outline_at(&frame->outline, arc, &hole->outward);
        hole->arc = arc;
        if (side == SIDE_LEFT) {
            hole->arc = 2 * length - arc;
            hole->at.x = -hole->at.x;
            hole->outward.x = -hole->outward.x;
        }
    }
    return true;
}

void frame_place(struct frame *frame, struct arena *arena, struct report *report,
                 const struct tape_mark *marks, int mark_count) {
    bool left = place_half(frame, arena, report, SIDE_LEFT, marks, mark_count);
    bool right = place_half(frame, arena, report, SIDE_RIGHT, marks, mark_count);
    for (int i = 0; i < frame->strand_count; i++) {
        struct strand *strand = &frame->strands[i];
        struct point a = frame->holes[strand->holes[0]].at, b = frame->holes[strand->holes[1]].at;
        strand->length = hypot(b.x - a.x, b.y - a.y);
    }
    frame->placed = left && right;
}
