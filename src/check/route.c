/* The route: every strand strung, every end at work, loops apart in their lanes. */
#include "check/check.h"

static bool is_missed(const struct subject *s, int strand) {
    return s->pattern->end_of[strand] == NO_END && !s->pattern->named[strand];
}

/* Finding legs that are not written belongs before this check, in the pipeline. */
void check_strand_missed(const struct subject *s) {
    int missed = 0, first = NO_STRAND;
    bool *wanted = arena_many(s->arena, bool, s->frame->strand_count + 1);
    for (int i = 0; i < s->frame->strand_count; i++) {
        wanted[i] = is_missed(s, i);
        if (wanted[i] && missed++ == 0) first = i;
    }
    if (missed == 0 || span_given(s->pattern->intents.find_span)) return;
    struct finding *finding =
        report_add(s->report, RULE_strand_missed, s->pattern->span, "no leg strings %s",
                   strand_words(s->frame, s->arena, wanted));
    finding_note(s->report, finding, s->frame->strands[first].span, "%s is in the hole map here",
                 s->frame->strands[first].name);
    finding_help(s->report, finding,
                 "add %s to the leg of the end that strings %s; or a line: find the rest",
                 missed == 1 ? "it" : "them", missed == 1 ? "it" : "them");
}

void check_end_idle(const struct subject *s) {
    for (int e = 0; e < s->pattern->end_count; e++) {
        const struct end *end = &s->pattern->ends[e];
        if (end->passes.count > 0) continue;
        struct finding *finding =
            report_add(s->report, RULE_end_idle, s->pattern->intents.pieces_span,
                       "the %s end strings nothing", end_word(end->name));
        finding_help(s->report, finding,
                     "every end of a string has strands: give it a leg, or string in %s",
                     s->pattern->intents.pieces == 1 ? "two pieces" : "one piece");
    }
}

/* The lanes once more, by another way than they were assigned: walking once round the hoop, each
 * lane must nest its loops like brackets. Loops that share a hole close before the others open
 * there. */
struct walk {
    const struct pattern *pattern;
    int *open; /* loops begun and not ended, innermost last */
    int count;
    int *first_at, *next; /* the first loop that begins in a hole; the next in the same; or -1 */
};

static int low_hole(const struct loop *loop) {
    return loop->from < loop->to ? loop->from : loop->to;
}
static int high_hole(const struct loop *loop) {
    return loop->from < loop->to ? loop->to : loop->from;
}

/* Closes the loops of a lane that end in `hole`; the loop that is closed over by one that must stay
 * open, or -1. */
static int close_at(struct walk *walk, int hole) {
    bool closing = true;
    while (closing) {
        closing = false;
        if (walk->count > 0 &&
            high_hole(&walk->pattern->loops.at[walk->open[walk->count - 1]]) == hole) {
            walk->count--;
            closing = true;
        }
    }
    for (int i = 0; i < walk->count; i++)
        if (high_hole(&walk->pattern->loops.at[walk->open[i]]) == hole) return walk->open[i];
    return -1;
}

/* Opens the loops of a lane that begin in `hole`, those that reach farthest first. */
static void open_at(struct walk *walk, int hole, enum lane lane) {
    int start = walk->count;
    for (int i = walk->first_at[hole]; i >= 0; i = walk->next[i]) {
        const struct loop *loop = &walk->pattern->loops.at[i];
        if (loop->lane != lane) continue;
        int at = walk->count++;
        while (at > start &&
               high_hole(&walk->pattern->loops.at[walk->open[at - 1]]) < high_hole(loop)) {
            walk->open[at] = walk->open[at - 1];
            at--;
        }
        walk->open[at] = i;
    }
}

/* The loops by the hole they begin in, in the order of the pattern. */
static struct walk walk_round(const struct subject *s) {
    int loops = (int)s->pattern->loops.count;
    struct walk walk = {.pattern = s->pattern,
                        .open = arena_many(s->arena, int, loops + 1),
                        .first_at = arena_many(s->arena, int, s->frame->hole_count),
                        .next = arena_many(s->arena, int, loops + 1)};
    for (int hole = 0; hole < s->frame->hole_count; hole++)
        walk.first_at[hole] = -1;
    for (int i = loops - 1; i >= 0; i--) {
        int *first = &walk.first_at[low_hole(&s->pattern->loops.at[i])];
        walk.next[i] = *first;
        *first = i;
    }
    return walk;
}

void check_lanes_disagree(const struct subject *s) {
    struct walk walk = walk_round(s);
    for (int lane = LANE_FRONT; lane <= LANE_BACK; lane++) {
        walk.count = 0;
        for (int hole = 0; hole < s->frame->hole_count; hole++) {
            int crossed = close_at(&walk, hole);
            if (crossed >= 0) {
                const struct loop *loop = &s->pattern->loops.at[crossed];
                report_add(
                    s->report, RULE_lanes_disagree, loop->span,
                    "the loop from %s to %s crosses another in its lane: this is a fault of the "
                    "compiler, please report it with the file",
                    s->frame->holes[loop->from].name, s->frame->holes[loop->to].name);
                return;
            }
            open_at(&walk, hole, (enum lane)lane);
        }
    }
}
