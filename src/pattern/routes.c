/* Routes: by which hole an end enters each strand. An end that is somewhere goes on by the nearest
 * hole; what is not settled by that is said. */
#include "pattern/stages.h"

#include <math.h>
#include <stdlib.h>

struct routing {
    struct pattern *pattern;
    struct arena *arena;
    struct report *report;
    int *where; /* by end: the hole it is in, or NO_HOLE */
    bool sound;
};

static const struct frame *frame_of(const struct routing *r) { return r->pattern->frame; }

static const char *strand_name_of(const struct routing *r, int strand) {
    return frame_of(r)->strands[strand].name;
}

static const char *hole_name_of(const struct routing *r, int hole) {
    return frame_of(r)->holes[hole].name;
}

/* The way an author can name for each of a strand's holes: head and throat, or left and right. */
static const char *way_word(const struct strand *strand, int which) {
    static const char *const main_words[] = {"head", "throat"}, *const cross_words[] = {"left",
                                                                                        "right"};
    return strand->kind == MAIN ? main_words[which] : cross_words[which];
}

/* Entry by a `from`: exactly one of the strand's holes must answer to it. */
static int enter_from(struct routing *r, const struct pass *pass) {
    const struct strand *strand = &frame_of(r)->strands[pass->strand];
    int found = NO_HOLE, count = 0;
    for (int i = 0; i < 2; i++) {
        const struct hole *hole = &frame_of(r)->holes[strand->holes[i]];
        bool fits = pass->from_side != SIDE_UNSAID ? hole->side == pass->from_side
                                                   : hole->place == pass->from_place;
        if (!fits) continue;
        found = strand->holes[i];
        count++;
    }
    if (count == 1) return found;
    r->sound = false;
    const char *word =
        pass->from_side != SIDE_UNSAID ? side_word(pass->from_side) : place_word(pass->from_place);
    struct finding *finding =
        report_add(r->report, RULE_from_unclear, pass->from_span,
                   count == 0 ? "%s has no hole at the %s" : "%s has both its holes at the %s",
                   strand->name, word);
    finding_help(r->report, finding, "%s has %s and %s: write from %s or from %s", strand->name,
                 hole_name_of(r, strand->holes[0]), hole_name_of(r, strand->holes[1]),
                 way_word(strand, 0), way_word(strand, 1));
    return strand->holes[0];
}

/* Entry of the first strand of an end that is nowhere yet. */
static int enter_first(struct routing *r, const struct end *end, const struct pass *pass) {
    const struct strand *strand = &frame_of(r)->strands[pass->strand];
    enum place place = r->pattern->intents.mains_from.place;
    if (strand->kind == MAIN && place != PLACE_UNSAID)
        return strand->holes[place == PLACE_HEAD ? 0 : 1];
    r->sound = false;
    if (end->start.given) return strand->holes[0]; /* its hole could not be settled: said there */
    struct finding *finding;
    if (end->name == END_CROSS) {
        finding = report_add(
            r->report, RULE_start_missing, pass->thread_span,
            "the cross string begins with %s, but where its tail is anchored is not said",
            strand->name);
        finding_help(r->report, finding,
                     "write before it: start right 6H, a hole with room for the knot; or a line: "
                     "find the rest");
    } else {
        finding = report_add(r->report, RULE_place_due, pass->thread_span,
                             "%s is the first strand of the %s end: where it enters is not said",
                             strand->name, end_word(end->name));
        finding_help(r->report, finding, "write %s from %s or from %s%s", strand->name,
                     way_word(strand, 0), way_word(strand, 1),
                     strand->kind == MAIN ? ", or a line: mains from head; or: find the rest" : "");
    }
    return strand->holes[0];
}

/* Entry by the nearer hole. */
static int enter_nearest(struct routing *r, const struct end *end, const struct pass *pass,
                         int from) {
    const struct strand *strand = &frame_of(r)->strands[pass->strand];
    int first = strand->holes[0], second = strand->holes[1];
    if (first == from) return second;
    if (second == from) return first;
    double to_first = hoop_distance(frame_of(r), from, first);
    double to_second = hoop_distance(frame_of(r), from, second);
    if (fabs(to_first - to_second) < LEAST_CHOICE_MM) {
        r->sound = false;
        struct finding *finding = report_add(
            r->report, RULE_entry_draw, pass->thread_span,
            "the %s end in %s has the same way to both holes of %s: %s mm to %s, %s mm to %s",
            end_word(end->name), hole_name_of(r, from), strand->name,
            format_decimal(r->arena, to_first, 1), hole_name_of(r, first),
            format_decimal(r->arena, to_second, 1), hole_name_of(r, second));
        finding_help(r->report, finding, "write %s from %s or from %s", strand->name,
                     way_word(strand, 0), way_word(strand, 1));
    }
    return to_first <= to_second ? first : second;
}

static void thread_pass(struct routing *r, int e, struct pass *pass) {
    const struct end *end = &r->pattern->ends[e];
    int from = r->where[e];
    if (span_given(pass->from_span))
        pass->enter = enter_from(r, pass);
    else if (from == NO_HOLE)
        pass->enter = enter_first(r, end, pass);
    else
        pass->enter = enter_nearest(r, end, pass, from);
    const int *holes = frame_of(r)->strands[pass->strand].holes;
    pass->leave = pass->enter == holes[0] ? holes[1] : holes[0];
    if (pass->enter == from) {
        r->sound = false;
        struct finding *finding =
            report_add(r->report, RULE_loop_to_itself, pass->from_span,
                       "the %s end is in %s already: it cannot enter %s there", end_word(end->name),
                       hole_name_of(r, from), strand_name_of(r, pass->strand));
        finding_help(r->report, finding, "it can only enter %s by %s",
                     strand_name_of(r, pass->strand), hole_name_of(r, pass->leave));
    }
    r->where[e] = pass->leave;
}

/* The hole of a start or a knot; NO_HOLE and a finding where there is none such. */
static int settle_hole(struct routing *r, int e, const struct knot *knot, const char *what) {
    const struct frame *frame = frame_of(r);
    char letter = knot->place == PLACE_HEAD ? 'H' : 'T';
    enum side side = knot->side;
    if (side == SIDE_UNSAID && r->where[e] != NO_HOLE) side = frame->holes[r->where[e]].side;
    if (side == SIDE_UNSAID || (side == SIDE_CENTRE && knot->number > 0)) {
        r->sound = false;
        struct finding *finding = report_add(
            r->report, RULE_side_due, knot->span, "which %d%c is meant is not said: the %s end %s",
            knot->number, letter, end_word(r->pattern->ends[e].name),
            side == SIDE_UNSAID ? "is nowhere yet" : "is on the centre line");
        finding_help(r->report, finding, "write %s right %d%c or %s left %d%c", what, knot->number,
                     letter, what, knot->number, letter);
        return NO_HOLE;
    }
    int hole = frame_hole(frame, side, knot->number, knot->place);
    if (hole == NO_HOLE) {
        r->sound = false;
        report_add(r->report, RULE_hole_unknown, knot->span, "%s has no hole %s %d%c", frame->name,
                   side_word(side), knot->number, letter);
        return NO_HOLE;
    }
    if (hole == r->where[e]) {
        r->sound = false;
        struct finding *finding = report_add(
            r->report, RULE_loop_to_itself, knot->span,
            "the %s end comes out of %s: it cannot go back into the same hole for its knot",
            end_word(r->pattern->ends[e].name), frame->holes[hole].name);
        const char *room = knot_room_words(r->pattern, r->arena, e, knot);
        if (room != NULL) finding_help(r->report, finding, "holes with room for a knot: %s", room);
    }
    return hole;
}

static void settle_start(struct routing *r, int e) {
    struct end *end = &r->pattern->ends[e];
    int hole = settle_hole(r, e, &end->start, "start");
    end->start.hole = hole;
    r->where[e] = hole;
    if (hole == NO_HOLE) return;
    end->start.around = hole_main(frame_of(r), hole);
    if (end->passes.count == 0) return;
    const int *holes = frame_of(r)->strands[end->passes.at[0].strand].holes;
    if (hole != holes[0] && hole != holes[1]) return;
    r->sound = false;
    struct finding *finding =
        report_add(r->report, RULE_start_in_own_hole, end->start.span,
                   "%s is a hole of %s, the first strand of this string", hole_name_of(r, hole),
                   strand_name_of(r, end->passes.at[0].strand));
    finding_help(r->report, finding,
                 "start is the hole where the tail is anchored, beside the first "
                 "strand's own");
}

static void settle_tie(struct routing *r, int e) {
    struct end *end = &r->pattern->ends[e];
    end->tie.hole = settle_hole(r, e, &end->tie, "tie");
    if (end->tie.hole != NO_HOLE) end->tie.around = hole_main(frame_of(r), end->tie.hole);
}

void find_routes(struct pattern *pattern, struct arena *arena, struct report *report) {
    int where[] = {NO_HOLE, NO_HOLE, NO_HOLE};
    struct routing r = {pattern, arena, report, where, true};
    for (size_t i = 0; i < pattern->acts.count; i++) {
        const struct act *act = &pattern->acts.at[i];
        switch (act->kind) {
        case ACT_THREAD:
            thread_pass(&r, act->end, &pattern->ends[act->end].passes.at[act->pass]);
            break;
        case ACT_START: settle_start(&r, act->end); break;
        case ACT_TIE: settle_tie(&r, act->end); break;
        case ACT_PULL: break;
        }
    }
    pattern->routed = r.sound;
}
