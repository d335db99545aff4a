/* Figures of one pattern, from what its stages left. */
#include "pattern/figures.h"

#include "pattern/stages.h"

/* ---- loops ---- */

/* Whether a loop lies on the way of an end: its own, or the fold of its piece. */
static bool is_of(const struct pattern *pattern, const struct loop *loop, int end) {
    if (loop->kind != LOOP_FOLD) return loop->end == end;
    return pattern->ends[loop->end].string == pattern->ends[end].string;
}

/* Loops stand in the order in which each end makes them, the fold before all. */
static int lane_changes_of(const struct pattern *pattern, int end) {
    int changes = 0;
    enum lane lane = LANE_UNSAID;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        if (!is_of(pattern, loop, end)) continue;
        changes += lane != LANE_UNSAID && loop->lane != lane;
        lane = loop->lane;
    }
    return changes;
}

static void add_loops(const struct pattern *pattern, struct figures *f) {
    f->loops = (int)pattern->loops.count;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        f->loops_length += loop->length;
        if (loop->length > f->loop_longest) f->loop_longest = loop->length;
        f->loops_pass += loop->pass_count;
        f->loops_over += loop->over > 0;
        if (loop->kind == LOOP_TIE) f->knots_way += loop->length;
    }
    for (int e = 0; e < pattern->end_count; e++)
        f->lane_changes += lane_changes_of(pattern, e);
}

/* ---- string and knots ---- */

static void add_string(const struct pattern *pattern, struct figures *f) {
    for (int e = 0; e < pattern->end_count; e++) {
        const struct end *end = &pattern->ends[e];
        f->cut[end->string] += pattern->cuts[e].cut;
        f->cut_all += pattern->cuts[e].cut;
        f->knots += 1 + (end->start.hole != NO_HOLE);
    }
}

/* ---- weaving ---- */

/* The string an end has beyond a pass once that lies. */
static double beyond(const struct pattern *pattern, int e, int pass) {
    const struct end *end = &pattern->ends[e];
    double length = ASSUMED_TAIL + pattern->bench->reach;
    for (int i = pass + 1; i < (int)end->passes.count; i++)
        length +=
            pattern->frame->strands[end->passes.at[i].strand].length + 2 * pattern->frame->wall;
    for (size_t i = 0; i < pattern->loops.count; i++) {
        const struct loop *loop = &pattern->loops.at[i];
        bool later = loop->kind == LOOP_TIE || (loop->kind == LOOP_BETWEEN && loop->pass > pass);
        if (later && loop->end == e) length += loop->length;
    }
    return length;
}

static int crossed(const struct pattern *pattern, const bool *in_bed, int strand) {
    int count = 0;
    for (size_t i = 0; i < pattern->crossings.count; i++) {
        const struct crossing *crossing = &pattern->crossings.at[i];
        count += (crossing->main == strand && in_bed[crossing->cross]) ||
                 (crossing->cross == strand && in_bed[crossing->main]);
    }
    return count;
}

static void add_weaving(const struct pattern *pattern, struct arena *arena, struct figures *f) {
    bool *in_bed = arena_many(arena, bool, pattern->frame->strand_count + 1);
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (move->kind != MOVE_THREAD && move->kind != MOVE_WEAVE) continue;
        in_bed[move->strand] = true;
        if (move->kind == MOVE_THREAD) continue;
        int count = crossed(pattern, in_bed, move->strand);
        bool main = pattern->frame->strands[move->strand].kind == MAIN;
        f->mains_woven += main;
        f->crosses_woven += !main;
        if (count > f->weave_most) f->weave_most = count;
        f->drawn += count * beyond(pattern, move->end, pattern->pass_of[move->strand]);
    }
}

/* ---- pulls ---- */

static enum cross_order order_of(const struct pattern *pattern, const bool *left_out) {
    const struct frame *frame = pattern->frame;
    bool rises = true, falls = true;
    int last = 0;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (move->kind != MOVE_PULL || frame->strands[move->strand].kind != CROSS) continue;
        if (left_out != NULL && left_out[move->strand]) continue;
        int number = frame->strands[move->strand].number;
        if (last > 0 && number < last) rises = false;
        if (last > 0 && number > last) falls = false;
        last = number;
    }
    return rises ? CROSSES_FROM_HEAD : falls ? CROSSES_FROM_THROAT : CROSSES_MIXED;
}

static void add_pulls(const struct pattern *pattern, struct figures *f) {
    f->order = order_of(pattern, NULL);
    const bool *skipped = pattern->intents.skip.has;
    if (f->order == CROSSES_MIXED && skipped != NULL) {
        f->order = order_of(pattern, skipped);
        f->but_skipped = f->order != CROSSES_MIXED;
    }
    for (int i = 0; i < pattern->frame->strand_count; i++) {
        double pull = set_pull(pattern, i);
        if (i == 0 || pull < f->least_pull) f->least_pull = pull;
        if (i == 0 || pull > f->most_pull) f->most_pull = pull;
    }
}

struct figures figures_of(const struct pattern *pattern, struct arena *arena) {
    struct figures f = {.time = pattern->work.time,
                        .end_changes = pattern->work.count[PACE_CHANGE]};
    add_loops(pattern, &f);
    add_string(pattern, &f);
    add_weaving(pattern, arena, &f);
    add_pulls(pattern, &f);
    return f;
}
