/* Loops outside the hoop: longer than they need be, or in the way of what is still to be threaded.
 * A long loop hangs loose, wears, and takes string. */
#include "check/check.h"

#include <math.h>

enum { MOST_COVERED = 4 };

static const double FAR_FACTOR = 1.5;  /* a `from` may lead to the farther hole, within reason */
static const double FAR_SLACK = 20;    /* mm */
static const double LEAST_SAVING = 40; /* mm; less is not worth another order */
static const double LEAST_PART_SAVED = 0.25;

static const struct hole *hole_at(const struct subject *s, int hole) {
    return &s->frame->holes[hole];
}

static const char *mm(const struct subject *s, double length) {
    return format(s->arena, "%s mm", format_decimal(s->arena, length, 0));
}

static int other_hole(const struct subject *s, int strand, int hole) {
    const int *holes = s->frame->strands[strand].holes;
    return holes[0] == hole ? holes[1] : holes[0];
}

/* Where an end is before a pass; NO_HOLE before the first of a fold. */
static int before_pass(const struct end *end, int pass) {
    return pass > 0 ? end->passes.at[pass - 1].leave : end->start.given ? end->start.hole : NO_HOLE;
}

/* ---- the farther hole by `from` ---- */

void check_entry_far(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        for (int i = 0; i < (int)end->passes.count; i++) {
            const struct pass *pass = &end->passes.at[i];
            int from = before_pass(end, i), nearer = pass->leave;
            if (!span_given(pass->from_span) || from == NO_HOLE || nearer == from) continue;
            double taken = hoop_distance(s->frame, from, pass->enter);
            double spared = hoop_distance(s->frame, from, nearer);
            if (taken < FAR_FACTOR * spared + FAR_SLACK) continue;
            const char *name = s->frame->strands[pass->strand].name;
            struct finding *finding = report_add(
                s->report, RULE_entry_far, pass->from_span,
                "the %s end is in %s and is sent round to %s for %s: a loop of %s, where %s is %s "
                "away",
                end_word(end->name), hole_at(s, from)->name, hole_at(s, pass->enter)->name, name,
                mm(s, taken), hole_at(s, nearer)->name, mm(s, spared));
            finding_help(s->report, finding, "without the `from`, %s is entered at %s", name,
                         hole_at(s, nearer)->name);
        }
    }
}

/* ---- long loops ---- */

static bool is_long(const struct subject *s, const struct loop *loop) {
    if (span_given(s->pattern->intents.loops_span)) return false; /* the pattern says how long */
    return loop_is_long(s->frame, loop->length, loop->pass_count);
}

static const char *goal_words(const struct subject *s, const struct loop *loop) {
    const struct end *end = &s->pattern->ends[loop->end];
    if (loop->kind == LOOP_TIE) return "its knot";
    int pass = loop->kind == LOOP_START ? 0 : loop->pass;
    return s->frame->strands[end->passes.at[pass].strand].name;
}

static struct finding *long_fold(const struct subject *s, const struct loop *loop) {
    return report_add(s->report, RULE_loop_long, loop->span,
                      "the fold lies between %s and %s: a loop of %s past %d holes",
                      hole_at(s, loop->from)->name, hole_at(s, loop->to)->name, mm(s, loop->length),
                      loop->pass_count);
}

static struct finding *long_loop(const struct subject *s, const struct loop *loop) {
    const struct hole *from = hole_at(s, loop->from), *to = hole_at(s, loop->to);
    const char *end = end_word(s->pattern->ends[loop->end].name);
    if (from->place == to->place)
        return report_add(s->report, RULE_loop_long, loop->span,
                          "the %s end is in %s and goes to %s for %s: a loop of %s past %d holes",
                          end, from->name, to->name, goal_words(s, loop), mm(s, loop->length),
                          loop->pass_count);
    return report_add(s->report, RULE_loop_long, loop->span,
                      "the %s end is at the %s (%s) and goes to the %s (%s) for %s: a loop of %s "
                      "past %d holes",
                      end, place_word(from->place), from->name, place_word(to->place), to->name,
                      goal_words(s, loop), mm(s, loop->length), loop->pass_count);
}

static const char *nearer_knot(const struct subject *s, const struct loop *loop) {
    const struct end *end = &s->pattern->ends[loop->end];
    bool start = loop->kind == LOOP_START;
    const char *what =
        start ? "start it nearer to the first strand" : "tie it nearer to where the end comes out";
    const char *room =
        knot_room_words(s->pattern, s->arena, loop->end, start ? &end->start : &end->tie);
    return room != NULL ? format(s->arena, "%s; holes with room: %s", what, room) : what;
}

static const char *shorter_way(const struct subject *s, const struct loop *loop) {
    if (loop->kind == LOOP_FOLD)
        return hole_at(s, loop->from)->place == hole_at(s, loop->to)->place
                   ? "let both ends begin with their main next to the centre line: M1"
                   : "let both ends enter their first strand at one place: mains from head";
    if (loop->kind != LOOP_BETWEEN) return nearer_knot(s, loop);
    const struct end *end = &s->pattern->ends[loop->end];
    bool has_other = other_end(s->pattern, loop->end) != NO_END;
    bool after_main = s->frame->strands[end->passes.at[loop->pass - 1].strand].kind == MAIN;
    return format(s->arena, "string what lies near %s first%s%s", hole_at(s, loop->from)->name,
                  has_other ? ", or leave it to the other end" : "",
                  after_main ? "; after an even count of mains an end is back at the place where "
                               "it began, after an odd count at the other"
                             : "");
}

void check_loop_long(const struct subject *s) {
    for (size_t i = 0; i < s->pattern->loops.count; i++) {
        const struct loop *loop = &s->pattern->loops.at[i];
        if (!is_long(s, loop)) continue;
        struct finding *finding = loop->kind == LOOP_FOLD ? long_fold(s, loop) : long_loop(s, loop);
        finding_help(s->report, finding, "%s", shorter_way(s, loop));
    }
}

/* Lengths that differ by less are alike: a limit is given in whole mm. */
static const double ALIKE = 0.001;

void check_loop_over_limit(const struct subject *s) {
    const struct intents *intents = &s->pattern->intents;
    if (!span_given(intents->loops_span)) return;
    for (size_t i = 0; i < s->pattern->loops.count; i++) {
        const struct loop *loop = &s->pattern->loops.at[i];
        if (loop->length <= intents->loops_most + ALIKE) continue;
        struct finding *finding =
            report_add(s->report, RULE_loop_over_limit, loop->span,
                       "the loop from %s to %s is %s long, and %s mm are allowed",
                       hole_at(s, loop->from)->name, hole_at(s, loop->to)->name,
                       format(s->arena, "%s mm", format_decimal(s->arena, loop->length, 1)),
                       format_decimal(s->arena, intents->loops_most, 1));
        finding_note(s->report, finding, intents->loops_span, "by this line");
        const char *allow =
            format(s->arena, "allow it: loops up to %d mm", (int)ceil(loop->length - ALIKE));
        if (loop->pass_count == 0)
            finding_help(s->report, finding, "%s", allow);
        else
            finding_help(s->report, finding, "%s; or %s", shorter_way(s, loop), allow);
    }
}

/* ---- another order would be nearer ---- */

/* Two strands in a row, from a hole and on to another, each entered at its nearer hole. */
static double two_strands(const struct subject *s, int from, int first, int second, int to) {
    int order[] = {first, second};
    double way = 0;
    for (int i = 0; i < 2; i++) {
        const int *holes = s->frame->strands[order[i]].holes;
        double ways[] = {hoop_distance(s->frame, from, holes[0]),
                         hoop_distance(s->frame, from, holes[1])};
        int nearer = from == holes[0] || (from != holes[1] && ways[1] < ways[0]) ? 1 : 0;
        way += ways[nearer];
        from = other_hole(s, order[i], holes[nearer]);
    }
    return way + (to != NO_HOLE ? hoop_distance(s->frame, from, to) : 0);
}

/* Mains go from the centre outwards, and crosses as the author asks: those stay as they are. */
static bool order_is_free(const struct subject *s, int first, int second) {
    const struct strand *a = &s->frame->strands[first], *b = &s->frame->strands[second];
    if (a->kind != b->kind) return true;
    const struct intents *intents = &s->pattern->intents;
    return a->kind == CROSS && intents->crosses_from.place == PLACE_UNSAID;
}

void check_loop_nearer(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        for (int i = 0; i + 1 < (int)end->passes.count; i++) {
            const struct pass *one = &end->passes.at[i], *two = &end->passes.at[i + 1];
            int from = before_pass(end, i);
            int to = i + 2 < (int)end->passes.count ? end->passes.at[i + 2].enter : end->tie.hole;
            if (from == NO_HOLE || !order_is_free(s, one->strand, two->strand) ||
                was_found(s->pattern, two->thread_span))
                continue;
            double now = hoop_distance(s->frame, from, one->enter) +
                         hoop_distance(s->frame, one->leave, two->enter) +
                         (to != NO_HOLE ? hoop_distance(s->frame, two->leave, to) : 0);
            double then = two_strands(s, from, two->strand, one->strand, to);
            if (now - then < LEAST_SAVING || now - then < LEAST_PART_SAVED * now) continue;
            struct finding *finding =
                report_add(s->report, RULE_loop_nearer, two->thread_span,
                           "%s before %s would make shorter loops: %s together instead of %s",
                           s->frame->strands[two->strand].name, s->frame->strands[one->strand].name,
                           mm(s, then), mm(s, now));
            finding_note(s->report, finding, one->thread_span, "%s is strung here",
                         s->frame->strands[one->strand].name);
            finding_help(s->report, finding, "exchange the two");
            i++; /* it would be told again of the second and the one behind it */
        }
    }
}

/* ---- over holes still to be threaded ---- */

static int count_to_come(const struct subject *s, const struct loop *loop, const bool *in_bed,
                         int *first) {
    int count = 0;
    for (int i = 0; i < loop->pass_count; i++) {
        const struct hole *hole = hole_at(s, loop->passes[i]);
        bool comes = false;
        for (int k = 0; k < hole->strand_count; k++)
            comes |= !in_bed[hole->strands[k]];
        if (comes && count++ == 0) *first = loop->passes[i];
    }
    return count;
}

/* The loop that a thread act makes; NULL where it makes none of its own. */
static const struct loop *loop_of(const struct subject *s, const struct act *act) {
    for (size_t i = 0; i < s->pattern->loops.count; i++) {
        const struct loop *loop = &s->pattern->loops.at[i];
        bool into = (loop->kind == LOOP_BETWEEN && loop->pass == act->pass) ||
                    (loop->kind == LOOP_START && act->pass == 0);
        if (into && loop->end == act->end) return loop;
    }
    return NULL;
}

void check_loop_covers(const struct subject *s) {
    bool *in_bed = arena_many(s->arena, bool, s->frame->strand_count + 1);
    int allowed = s->frame->lanes == 1 ? 0 : MOST_COVERED;
    for (size_t i = 0; i < s->pattern->acts.count; i++) {
        const struct act *act = &s->pattern->acts.at[i];
        if (act->kind != ACT_THREAD) continue;
        in_bed[s->pattern->ends[act->end].passes.at[act->pass].strand] = true;
        const struct loop *loop = loop_of(s, act);
        int first = NO_HOLE, count = loop != NULL ? count_to_come(s, loop, in_bed, &first) : 0;
        if (count <= allowed || is_long(s, loop) || was_found(s->pattern, act->span))
            continue; /* told as a long one, or found as the best there is */
        struct finding *finding = report_add(
            s->report, RULE_loop_covers, loop->span,
            "the loop from %s to %s lies over %s%s, still to be threaded%s",
            hole_at(s, loop->from)->name, hole_at(s, loop->to)->name, hole_at(s, first)->name,
            count == 1 ? "" : format(s->arena, " and %d more holes", count - 1),
            s->frame->lanes == 1 ? ", in a groove with room for one loop" : "");
        finding_help(s->report, finding,
                     s->frame->lanes == 1 ? "thread those before; they may be pulled later"
                                          : "thread those before, or lay the loop so that they "
                                            "stay open");
    }
}

/* ---- a main woven that need not be ---- */

/* Loops one after another. */
struct way {
    double length, longest;
};

static void go(const struct subject *s, struct way *way, int from, int to) {
    double loop = hoop_distance(s->frame, from, to);
    way->length += loop;
    if (loop > way->longest) way->longest = loop;
}

/* The loops of an end from the strand at `first` on, with the main at `late` brought before, each
 * strand entered at its nearer hole. */
static struct way way_with_main_early(const struct subject *s, const struct end *end, int first,
                                      int late) {
    int from = before_pass(end, first);
    struct way way = {0};
    for (int k = first - 1; k < (int)end->passes.count; k++) {
        if (k == late) continue;
        int strand = end->passes.at[k < first ? late : k].strand;
        const int *holes = s->frame->strands[strand].holes;
        double ways[] = {hoop_distance(s->frame, from, holes[0]),
                         hoop_distance(s->frame, from, holes[1])};
        int nearer = from == holes[0] || (from != holes[1] && ways[1] < ways[0]) ? 1 : 0;
        go(s, &way, from, holes[nearer]);
        from = other_hole(s, strand, holes[nearer]);
    }
    if (end->tie.given) go(s, &way, from, end->tie.hole);
    return way;
}

static struct way way_from(const struct subject *s, const struct end *end, int first) {
    struct way way = {0};
    int from = before_pass(end, first);
    for (int k = first; k < (int)end->passes.count; k++) {
        go(s, &way, from, end->passes.at[k].enter);
        from = end->passes.at[k].leave;
    }
    if (end->tie.given) go(s, &way, from, end->tie.hole);
    return way;
}

/* Whether a main meets any of the crosses strung before it, in passes from `first` to `late`. */
static bool meets_any(const struct subject *s, const struct end *end, int first, int late) {
    for (int k = first; k < late; k++)
        if (strands_cross(s->frame, end->passes.at[late].strand, end->passes.at[k].strand))
            return true;
    return false;
}

void check_main_woven(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        for (int i = 1, crosses = 0; i < (int)end->passes.count; i++) {
            int strand = end->passes.at[i].strand;
            bool before = s->frame->strands[end->passes.at[i - 1].strand].kind == CROSS;
            crosses = before ? crosses + 1 : 0;
            if (s->frame->strands[strand].kind != MAIN || crosses == 0) continue;
            int first = i - crosses;
            if (before_pass(end, first) == NO_HOLE || !meets_any(s, end, first, i) ||
                was_found(s->pattern, end->passes.at[i].thread_span))
                continue;
            struct way now = way_from(s, end, first), then = way_with_main_early(s, end, first, i);
            if (then.length > now.length + 1 || then.longest > now.longest + 1) continue;
            const char *name = s->frame->strands[strand].name;
            const char *cross = s->frame->strands[end->passes.at[first].strand].name;
            bool shorter = then.length < now.length - 1;
            struct finding *finding =
                report_add(s->report, RULE_main_woven, end->passes.at[i].thread_span,
                           "%s is woven through crosses and need not be: strung before %s it makes "
                           "the loops of the %s end %s%s",
                           name, cross, end_word(end->name), shorter ? "shorter by " : "no longer",
                           shorter ? mm(s, now.length - then.length) : "");
            finding_note(s->report, finding, end->passes.at[first].thread_span, "%s is strung here",
                         cross);
            finding_help(s->report, finding, "write %s before %s", name, cross);
        }
    }
}
