/* The replay: takes the finished moves one after another and asks of each whether it may be done.
 * It knows the rules of the bench and the route of each end, nothing of how the moves were found.
 */
#include "bench/plan.h"

#include "ground/limits.h"

enum { ENDS = 3 };

struct clamp_on {
    bool on;
    int end, strand;
    bool at_start;
};

struct bench_state {
    const struct pattern *pattern;
    const struct frame *frame;
    struct arena *arena;
    int threaded[ENDS], pulled[ENDS];
    bool tied[ENDS], start_tied;
    int *in_hole; /* strings and knots by hole */
    struct clamp_on clamps[CLAMP_KINDS][LIMIT_CLAMPS];
    bool tensioned; /* a strand is in the tensioner: */
    int tension_end, tension_strand;
    bool tension_at_start;
};

static bool clamped(const struct bench_state *b, int strand, int end, bool at_start) {
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        for (int i = 0; i < LIMIT_CLAMPS; i++) {
            const struct clamp_on *c = &b->clamps[kind][i];
            if (c->on && c->strand == strand && c->end == end && c->at_start == at_start)
                return true;
        }
    return false;
}

static bool in_tensioner(const struct bench_state *b, int strand, int end, bool at_start) {
    return b->tensioned && b->tension_strand == strand && b->tension_end == end &&
           b->tension_at_start == at_start;
}

static int strand_of(const struct bench_state *b, int end, int pass) {
    return b->pattern->ends[end].passes.at[pass].strand;
}

/* Whether the side of a run towards `end` is held; something of the string is pulled. */
static bool side_held(const struct bench_state *b, int end) {
    if (b->tied[end]) return true;
    if (b->pulled[end] ==
        0) /* nothing pulled on this side: an anchor on its first threaded strand */
        return b->threaded[end] > 0 && clamped(b, strand_of(b, end, 0), end, false);
    int last = strand_of(b, end, b->pulled[end] - 1);
    return in_tensioner(b, last, end, false) || clamped(b, last, end, false);
}

static bool start_held(const struct bench_state *b, int end) {
    int first = strand_of(b, end, 0);
    return b->start_tied || in_tensioner(b, first, end, true) || clamped(b, first, end, true);
}

/* The rule of holding, over all strings. */
static bool all_held(const struct bench_state *b) {
    for (int e = 0; e < b->pattern->end_count; e++) {
        int other = other_end(b->pattern, e);
        bool any = b->pulled[e] > 0 || (other != NO_END && b->pulled[other] > 0);
        if (any && !side_held(b, e)) return false;
        if (any && other == NO_END && !start_held(b, e)) return false;
    }
    return true;
}

static int room_of(const struct bench_state *b, int hole) {
    return b->frame->holes[hole].tie_off ? 3 : 2;
}

static const char *fill_hole(struct bench_state *b, int hole) {
    if (b->in_hole[hole] >= room_of(b, hole)) return "the hole is full";
    b->in_hole[hole]++;
    return NULL;
}

static bool has_starting_clamp(const struct bench_state *b, int end) {
    for (int i = 0; i < LIMIT_CLAMPS; i++) {
        const struct clamp_on *c = &b->clamps[CLAMP_STARTING][i];
        if (c->on && c->end == end && !c->at_start) return true;
    }
    return false;
}

static const char *do_thread(struct bench_state *b, const struct move *move) {
    const struct end *end = &b->pattern->ends[move->end];
    int pass = b->threaded[move->end];
    if (pass >= (int)end->passes.count || end->passes.at[pass].strand != move->strand)
        return "this is not the end's next strand";
    if (move->enter != end->passes.at[pass].enter || move->leave != end->passes.at[pass].leave)
        return "it goes by other holes than the route";
    if (b->tied[move->end]) return "the end is tied off";
    if (has_starting_clamp(b, move->end)) return "a starting clamp sits on the end";
    b->tensioned = false;
    if (!all_held(b)) return "a pulled strand is not held while this is threaded";
    const char *full = fill_hole(b, move->enter);
    if (full == NULL) full = fill_hole(b, move->leave);
    b->threaded[move->end]++;
    return full;
}

static const char *do_pull(struct bench_state *b, const struct move *move) {
    int pass = b->pulled[move->end];
    if (pass >= b->threaded[move->end]) return "nothing threaded is left to pull";
    if (strand_of(b, move->end, pass) != move->strand)
        return "this is not the end's next strand to pull";
    if (has_starting_clamp(b, move->end)) return "a starting clamp sits on the end";
    b->tensioned = false;
    if (!all_held(b)) return "a pulled strand is let go before this pull";
    b->pulled[move->end]++;
    b->tensioned = true;
    b->tension_end = move->end;
    b->tension_strand = move->strand;
    b->tension_at_start = false;
    return all_held(b) ? NULL : "a run is not held at both its outermost strands";
}

static const char *do_repull(struct bench_state *b, const struct move *move) {
    int pass = move->at_start ? 0 : b->pulled[move->end] - 1;
    if (pass < 0 || pass >= b->pulled[move->end])
        return "nothing is pulled yet that could be pulled again";
    if (strand_of(b, move->end, pass) != move->strand)
        return "only the last pulled strand can be pulled again";
    if (!move->at_start && b->threaded[move->end] > b->pulled[move->end])
        return "the end is threaded further: its tail is not free";
    b->tensioned = true;
    b->tension_end = move->end;
    b->tension_strand = move->strand;
    b->tension_at_start = move->at_start;
    return all_held(b) ? NULL : "a run is not held at both its outermost strands";
}

static const char *do_clamp(struct bench_state *b, const struct move *move) {
    if (move->clamp_number < 1 || move->clamp_number > b->pattern->bench->clamps[move->clamp])
        return "the bench has no such clamp";
    struct clamp_on *clamp = &b->clamps[move->clamp][move->clamp_number - 1];
    if (clamp->on) return "the clamp is in use";
    bool on_pulled = in_tensioner(b, move->strand, move->end, move->at_start);
    bool first_threaded = b->pulled[move->end] == 0 && b->threaded[move->end] > 0 &&
                          strand_of(b, move->end, 0) == move->strand;
    bool anchor =
        first_threaded &&
        (move->clamp == CLAMP_FIXED ? other_end(b->pattern, move->end) != NO_END && !move->at_start
                                    : other_end(b->pattern, move->end) == NO_END && move->at_start);
    if (!on_pulled && !anchor) return "the strand is neither in the tensioner nor to be anchored";
    if (move->clamp == CLAMP_STARTING && !move->at_start &&
        b->threaded[move->end] > b->pulled[move->end])
        return "a starting clamp needs the free tail, and the end is threaded further";
    *clamp = (struct clamp_on){true, move->end, move->strand, move->at_start};
    return NULL;
}

static const char *do_release(struct bench_state *b, const struct move *move) {
    if (move->clamp_number < 1 || move->clamp_number > LIMIT_CLAMPS)
        return "there is no such clamp";
    struct clamp_on *clamp = &b->clamps[move->clamp][move->clamp_number - 1];
    if (!clamp->on || clamp->strand != move->strand) return "the clamp is not on this strand";
    clamp->on = false;
    return all_held(b) ? NULL : "a run is not held without this clamp";
}

static bool main_pulled(const struct bench_state *b, int main) {
    for (int e = 0; e < b->pattern->end_count; e++)
        for (int i = 0; i < b->pulled[e]; i++)
            if (strand_of(b, e, i) == main) return true;
    return false;
}

static const char *do_tie(struct bench_state *b, const struct move *move) {
    const struct end *end = &b->pattern->ends[move->end];
    if (move->hole == NO_HOLE || !b->frame->holes[move->hole].tie_off)
        return "the hole has no room for a knot";
    if (move->around == NO_STRAND || !main_pulled(b, move->around))
        return "the knot's main is not pulled yet";
    if (move->at_start ? b->start_tied : b->tied[move->end]) return "it is tied already";
    bool before_first = move->at_start && b->threaded[move->end] == 0;
    if (!before_first) {
        int pass = move->at_start ? 0 : (int)end->passes.count - 1;
        if (b->pulled[move->end] <= pass) return "the strand that is tied is not pulled yet";
        if (!clamped(b, strand_of(b, move->end, pass), move->end, move->at_start))
            return "no clamp holds the strand while it is tied";
    }
    b->tensioned = false;
    if (move->at_start)
        b->start_tied = true;
    else
        b->tied[move->end] = true;
    if (!all_held(b)) return "a run is not held while this is tied";
    return fill_hole(b, move->hole);
}

static const char *do_move(struct bench_state *b, const struct move *move) {
    switch (move->kind) {
    case MOVE_THREAD:
    case MOVE_WEAVE: return do_thread(b, move);
    case MOVE_PULL: return do_pull(b, move);
    case MOVE_REPULL: return do_repull(b, move);
    case MOVE_CLAMP: return do_clamp(b, move);
    case MOVE_RELEASE: return do_release(b, move);
    case MOVE_TIE: return do_tie(b, move);
    }
    return "there is no such move";
}

static const char *judge_end(const struct bench_state *b) {
    int pulled = 0;
    for (int e = 0; e < b->pattern->end_count; e++) {
        pulled += b->pulled[e];
        if (!b->tied[e]) return "an end is left untied";
        if (other_end(b->pattern, e) == NO_END && !b->start_tied) return "a start is left untied";
    }
    if (pulled != b->frame->strand_count) return "a strand is left out";
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        for (int i = 0; i < LIMIT_CLAMPS; i++)
            if (b->clamps[kind][i].on) return "a clamp is left on";
    return NULL;
}

const char *replay_moves(const struct pattern *pattern, struct arena *arena) {
    struct bench_state *b = arena_one(arena, struct bench_state);
    b->pattern = pattern;
    b->frame = pattern->frame;
    b->arena = arena;
    b->in_hole = arena_many(arena, int, pattern->frame->hole_count + 1);
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const char *wrong = do_move(b, &pattern->moves.at[i]);
        if (wrong != NULL) return format(arena, "move %zu: %s", i + 1, wrong);
    }
    const char *wrong = judge_end(b);
    return wrong != NULL ? format(arena, "after the last move: %s", wrong) : NULL;
}
