/* The weave: over and under alternate, so one bit fixes the whole bed. It comes from what the
 * author states, or from the first weave, which goes over. What a woven strand does first follows
 * from the bit and from which strand already in the bed it meets first on its way. */
#include "pattern/stages.h"

#include <math.h>

/* Whether the main is in front where the bit is `bit`. */
static bool main_in_front(const struct frame *frame, int main, int cross, bool bit) {
    int steps = frame->strands[main].index + frame->strands[cross].index;
    return (steps % 2 == 0) == bit;
}

/* The bit under which a strand passes in front of the one it meets. */
static bool bit_for(const struct frame *frame, int strand, int met, bool over) {
    bool is_main = frame->strands[strand].kind == MAIN;
    int main = is_main ? strand : met, cross = is_main ? met : strand;
    bool wanted = is_main ? over : !over; /* of the main being in front */
    return main_in_front(frame, main, cross, true) == wanted;
}

/* The first strand already in the bed that `strand` meets on its way from `enter`; NO_STRAND. */
static int first_met(const struct frame *frame, const bool *in_bed, int strand, int enter) {
    bool is_main = frame->strands[strand].kind == MAIN;
    int nearest = NO_STRAND;
    double least = INFINITY;
    for (int other = 0; other < frame->strand_count; other++) {
        if (!in_bed[other] || frame->strands[other].kind == frame->strands[strand].kind) continue;
        int main = is_main ? strand : other, cross = is_main ? other : strand;
        if (!strands_cross(frame, main, cross)) continue;
        struct point at = crossing_point(frame, main, cross), from = frame->holes[enter].at;
        double way = hypot(at.x - from.x, at.y - from.y);
        if (way >= least) continue;
        least = way;
        nearest = other;
    }
    return nearest;
}

/* What the author states of a strand, held against the bit so far. */
static void hold_statement(struct pattern *pattern, struct report *report, const struct move *move,
                           const struct pass **stated, bool *bit) {
    const struct frame *frame = pattern->frame;
    const struct pass *pass = &pattern->ends[move->end].passes.at[pattern->pass_of[move->strand]];
    if (pass->first == START_UNSTATED) return;
    const char *name = frame->strands[move->strand].name;
    const char *word = pass->first == START_OVER ? "over" : "under";
    if (move->first_met == NO_STRAND) {
        struct finding *finding = report_add(
            report, RULE_weave_meets_nothing, pass->first_span,
            "%s meets no strand when it is threaded: it goes neither over nor under", name);
        finding_help(report, finding, "say it of a strand that is woven");
        return;
    }
    bool wanted = bit_for(frame, move->strand, move->first_met, pass->first == START_OVER);
    if (*stated == NULL) {
        *stated = pass;
        *bit = wanted;
        return;
    }
    if (wanted == *bit) return;
    struct finding *finding =
        report_add(report, RULE_weave_against, pass->first_span,
                   "%s cannot go %s %s first: the weave is fixed the other way round", name, word,
                   frame->strands[move->first_met].name);
    finding_note(report, finding, (*stated)->first_span, "by what is said of %s here",
                 frame->strands[(*stated)->strand].name);
    finding_help(report, finding,
                 "over and under alternate, so one of them fixes the whole bed: write "
                 "%s first here, or leave one out",
                 pass->first == START_OVER ? "under" : "over");
}

static void list_crossings(struct pattern *pattern, struct arena *arena, bool bit) {
    const struct frame *frame = pattern->frame;
    array_reserve(arena, &pattern->crossings, frame->main_count * frame->cross_count);
    for (int main = 0; main < frame->main_count; main++)
        for (int cross = frame->main_count; cross < frame->strand_count; cross++) {
            if (!strands_cross(frame, main, cross)) continue;
            *array_add(arena, &pattern->crossings) =
                (struct crossing){main, cross, main_in_front(frame, main, cross, bit)};
        }
}

void find_weave(struct pattern *pattern, struct arena *arena, struct report *report) {
    const struct frame *frame = pattern->frame;
    bool *in_bed = arena_many(arena, bool, frame->strand_count + 1);
    const struct pass *stated = NULL;
    const struct move *first_weave = NULL;
    bool bit = true;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        struct move *move = &pattern->moves.at[i];
        if (move->kind != MOVE_THREAD) continue;
        move->first_met = first_met(frame, in_bed, move->strand, move->enter);
        in_bed[move->strand] = true;
        if (move->first_met != NO_STRAND) {
            move->kind = MOVE_WEAVE;
            if (first_weave == NULL) first_weave = move;
        }
        hold_statement(pattern, report, move, &stated, &bit);
    }
    if (stated == NULL && first_weave != NULL)
        bit = bit_for(frame, first_weave->strand, first_weave->first_met, true);
    for (size_t i = 0; i < pattern->moves.count; i++) {
        struct move *move = &pattern->moves.at[i];
        if (move->kind == MOVE_WEAVE)
            move->first_over = bit_for(frame, move->strand, move->first_met, true) == bit;
    }
    list_crossings(pattern, arena, bit);
}
