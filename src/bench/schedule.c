/* The scheduler. Which strand is threaded, pulled and tied when is settled by the legs; what is
 * planned here is which clamp holds each end while it waits, as a compiler allots registers: a
 * shortest path over (act, what holds each end). An end that waits on a starting clamp must be
 * pulled once more and handed to a fixed clamp before it goes on, and a fixed clamp may stand in
 * the way of a cross being woven; both have a price, as has a clamp that waits longer than it need,
 * and the path with the least is taken. */
#include "bench/holds.h"
#include "bench/plan.h"

#include "ground/limits.h"

#include <math.h>
#include <stdint.h>

/* What of a state's past matters: prices in falling order of weight. */
typedef uint64_t price;
static const price IN_THE_WAY = (price)1 << 48, REPULL = (price)1 << 32, WAITS = (price)1 << 16,
                   MOVE = 1;

enum step_kind { STEP_NONE, STEP_ACT, STEP_HAND_OVER, STEP_CLOSE_START };

/* How a state was reached. */
struct step {
    uint8_t kind;  /* enum step_kind */
    uint8_t end;   /* STEP_HAND_OVER, STEP_CLOSE_START */
    uint8_t with;  /* STEP_ACT of a pull: which kind of clamp is put on */
    uint32_t from; /* node of the layer before (STEP_ACT) or of the same */
};

static struct step new_step(enum step_kind kind, size_t from, int end, int with) {
    return (struct step){(uint8_t)kind, (uint8_t)end, (uint8_t)with, (uint32_t)from};
}

struct node {
    struct hold_state state;
    price price;
    struct step step;
};

/* The states that can hold before an act, each with its least price: rarely more than a dozen. */
struct layer {
    array_of(struct node) nodes;
};

/* An act with what the plan must know of the moment. */
struct moment {
    struct act act;
    int pulled[ENDS], threaded[ENDS]; /* before it */
    bool weaves_cross;
};

struct plan {
    struct pattern *pattern;
    struct arena *arena;
    int clamps[CLAMP_KINDS];
    struct moment *moments;
    int count;
    struct layer *layers; /* count + 1 */
};

/* ---- the acts in order ---- */

static const struct pass *pass_of_act(const struct pattern *pattern, const struct act *act) {
    return &pattern->ends[act->end].passes.at[act->pass];
}

/* A folded string is anchored on the other end's first strand, which must be threaded before the
 * first pull: brings its threading forward. */
static void bring_anchor_forward(const struct pattern *pattern, struct act *acts, int count) {
    int pull = 0;
    while (pull < count &&
           !(acts[pull].kind == ACT_PULL && pattern->ends[acts[pull].end].string == 0))
        pull++;
    if (pull == count) return;
    int other = other_end(pattern, acts[pull].end);
    int thread = 0;
    while (thread < count && !(acts[thread].kind == ACT_THREAD && acts[thread].end == other))
        thread++;
    if (thread == count || thread < pull) return;
    struct act moved = acts[thread];
    for (int i = thread; i > pull; i--)
        acts[i] = acts[i - 1];
    acts[pull] = moved;
}

static bool meets_bed(const struct frame *frame, const bool *in_bed, int cross) {
    for (int main = 0; main < frame->main_count; main++)
        if (in_bed[main] && strands_cross(frame, main, cross)) return true;
    return false;
}

static void list_moments(struct plan *plan) {
    const struct pattern *pattern = plan->pattern;
    const struct frame *frame = pattern->frame;
    plan->count = (int)pattern->acts.count;
    struct act *acts = arena_many(plan->arena, struct act, plan->count + 1);
    for (int i = 0; i < plan->count; i++)
        acts[i] = pattern->acts.at[i];
    bring_anchor_forward(pattern, acts, plan->count);
    plan->moments = arena_many(plan->arena, struct moment, plan->count + 1);
    bool *in_bed = arena_many(plan->arena, bool, frame->strand_count + 1);
    int pulled[ENDS] = {0}, threaded[ENDS] = {0};
    for (int i = 0; i < plan->count; i++) {
        struct moment *moment = &plan->moments[i];
        moment->act = acts[i];
        for (int e = 0; e < ENDS; e++) {
            moment->pulled[e] = pulled[e];
            moment->threaded[e] = threaded[e];
        }
        if (acts[i].kind == ACT_PULL) pulled[acts[i].end]++;
        if (acts[i].kind != ACT_THREAD) continue;
        threaded[acts[i].end]++;
        int strand = pass_of_act(pattern, &acts[i])->strand;
        moment->weaves_cross =
            frame->strands[strand].kind == CROSS && meets_bed(frame, in_bed, strand);
        in_bed[strand] = true;
    }
}

/* ---- what may be done ---- */

static double distance_to_strand(const struct frame *frame, struct point p, int strand) {
    struct point a = frame->holes[frame->strands[strand].holes[0]].at;
    struct point b = frame->holes[frame->strands[strand].holes[1]].at;
    double ux = b.x - a.x, uy = b.y - a.y;
    double t = ((p.x - a.x) * ux + (p.y - a.y) * uy) / (ux * ux + uy * uy);
    if (!(t > 0)) t = 0;
    if (t > 1) t = 1;
    return hypot(p.x - a.x - t * ux, p.y - a.y - t * uy);
}

/* Fixed clamps of other ends that stand beside the cross this act weaves. */
static int clamps_in_the_way(const struct plan *plan, const struct moment *moment,
                             struct hold_state state) {
    if (!moment->weaves_cross) return 0;
    const struct pattern *pattern = plan->pattern;
    int strand = pass_of_act(pattern, &moment->act)->strand, count = 0;
    for (int e = 0; e < pattern->end_count; e++) {
        if (e == moment->act.end || (state.end[e] != FIXED && state.end[e] != ANCHOR)) continue;
        int pass = state.end[e] == ANCHOR ? 0 : moment->pulled[e] - 1;
        struct point at = pattern->frame->holes[pattern->ends[e].passes.at[pass].leave].at;
        count += distance_to_strand(pattern->frame, at, strand) < CLAMP_IN_THE_WAY_MM;
    }
    return count;
}

/* What waits while an end works: fixed clamps of other ends, a start on its clamp. */
static price waiting(const struct plan *plan, int end, struct hold_state state) {
    price waits = state.start == START_CLAMPED;
    for (int e = 0; e < plan->pattern->end_count; e++)
        waits += e != end && (state.end[e] == FIXED || state.end[e] == ANCHOR);
    return waits * WAITS;
}

/* Whether the main round which a cross string's start is tied has been pulled. */
static bool start_main_pulled(const struct plan *plan, const struct moment *moment, int e) {
    const struct pattern *pattern = plan->pattern;
    int main = pattern->ends[e].start.around;
    if (main == NO_STRAND) return true;
    int owner = pattern->end_of[main];
    return owner == NO_END || pattern->pass_of[main] < moment->pulled[owner];
}

/* A start on a clamp is pulled again and tied once its first strands stand and its main is pulled.
 */
static bool can_close_start(const struct plan *plan, const struct moment *moment,
                            struct hold_state state, int e) {
    int enough = plan->pattern->ends[e].passes.count > 1 ? 2 : 1;
    return state.start == START_CLAMPED && moment->pulled[e] >= enough &&
           state.end[e] != STARTING && start_main_pulled(plan, moment, e) &&
           clamp_is_free(plan->clamps, state, CLAMP_FIXED);
}

/* ---- the search ---- */

static void reach(struct plan *plan, int layer, struct hold_state state, price at,
                  struct step step) {
    struct layer *nodes = &plan->layers[layer];
    struct node *node = NULL;
    for (size_t i = 0; i < nodes->nodes.count && node == NULL; i++)
        if (same_holds(nodes->nodes.at[i].state, state)) node = &nodes->nodes.at[i];
    if (node != NULL && at >= node->price) return;
    if (node == NULL) node = array_add(plan->arena, &nodes->nodes);
    *node = (struct node){state, at, step};
}

/* Steps that do no act: handing an end to a fixed clamp, closing a start. They only lead from
 * states with more starting clamps to states with fewer, so one pass over the growing list meets
 * all. */
static void relax_within(struct plan *plan, int layer) {
    const struct pattern *pattern = plan->pattern;
    const struct moment *moment = &plan->moments[layer];
    int cross = pattern_end(pattern, END_CROSS);
    for (size_t i = 0; i < plan->layers[layer].nodes.count; i++) {
        struct node node = plan->layers[layer].nodes.at[i];
        for (int e = 0; e < pattern->end_count; e++) {
            struct hold_state next = node.state;
            if (!hand_over(plan->clamps, &next, e)) continue;
            reach(plan, layer, next, node.price + REPULL + 3 * MOVE,
                  new_step(STEP_HAND_OVER, i, e, 0));
        }
        if (cross == NO_END || !can_close_start(plan, moment, node.state, cross)) continue;
        struct hold_state next = node.state;
        next.start = START_TIED;
        reach(plan, layer, next, node.price + REPULL + 5 * MOVE,
              new_step(STEP_CLOSE_START, i, cross, 0));
    }
}

static void do_pull(struct plan *plan, int layer, size_t from, struct hold_state state, price at) {
    const struct pattern *pattern = plan->pattern;
    const struct moment *moment = &plan->moments[layer];
    int e = moment->act.end, other = other_end(pattern, e);
    bool anchors = other != NO_END && state.end[other] == FREE;
    bool starts = other == NO_END && state.start == START_OPEN;
    if (anchors && moment->threaded[other] == 0) return;
    if (!take_into_tensioner(plan->clamps, &state, e, other, pattern->ends[e].start_clamped))
        return;
    at += (price)(anchors + starts) * MOVE;
    bool threaded_on = moment->threaded[e] > moment->pulled[e] + 1;
    for (int kind = 0; kind < CLAMP_KINDS; kind++) {
        struct hold_state next = state;
        if (kind == CLAMP_STARTING && threaded_on) continue;
        if (!clamp_end(plan->clamps, &next, e, (enum clamp_kind)kind)) continue;
        reach(plan, layer + 1, next, at + 3 * MOVE, new_step(STEP_ACT, from, 0, kind));
    }
}

static void do_act(struct plan *plan, int layer, size_t from) {
    const struct pattern *pattern = plan->pattern;
    const struct moment *moment = &plan->moments[layer];
    const struct node *node = &plan->layers[layer].nodes.at[from];
    int e = moment->act.end;
    struct hold_state state = node->state;
    price at = node->price + waiting(plan, e, state);
    switch (moment->act.kind) {
    case ACT_PULL: do_pull(plan, layer, from, state, at); return;
    case ACT_THREAD:
        if (state.end[e] == STARTING) return;
        at += (price)clamps_in_the_way(plan, moment, state) * IN_THE_WAY;
        break;
    case ACT_START:
        if (!pattern->ends[e].start_clamped) state.start = START_TIED;
        break;
    case ACT_TIE:
        if (pattern->ends[e].name == END_CROSS && state.start != START_TIED) return;
        if (!tie_held(&state, e)) return;
        break;
    }
    reach(plan, layer + 1, state, at + MOVE, new_step(STEP_ACT, from, 0, 0));
}

/* Fills the layers; the number of acts that can be done before clamps run out. */
static int search(struct plan *plan) {
    plan->layers = arena_many(plan->arena, struct layer, plan->count + 1);
    struct hold_state open = {{FREE}, START_OPEN};
    reach(plan, 0, open, 0, new_step(STEP_NONE, 0, 0, 0));
    for (int layer = 0; layer < plan->count; layer++) {
        relax_within(plan, layer);
        for (size_t i = 0; i < plan->layers[layer].nodes.count; i++)
            do_act(plan, layer, i);
        if (plan->layers[layer + 1].nodes.count == 0) return layer;
    }
    return plan->count;
}

static size_t best_node(const struct plan *plan, int layer) {
    const struct layer *nodes = &plan->layers[layer];
    size_t best = 0;
    for (size_t i = 1; i < nodes->nodes.count; i++)
        if (nodes->nodes.at[i].price < nodes->nodes.at[best].price) best = i;
    return best;
}

/* ---- from the path to moves ---- */

struct clamp_place {
    bool on;
    int end;
    bool at_start;
};

struct writer {
    struct plan *plan;
    struct pattern *pattern;
    struct clamp_place clamps[CLAMP_KINDS][LIMIT_CLAMPS];
    int pulled[ENDS];
    struct span span;
};

static struct move *write_move(struct writer *w, enum move_kind kind, int end, int strand) {
    struct move *move = array_add(w->plan->arena, &w->pattern->moves);
    *move = (struct move){.kind = kind,
                          .end = end,
                          .strand = strand,
                          .enter = NO_HOLE,
                          .leave = NO_HOLE,
                          .hole = NO_HOLE,
                          .around = NO_STRAND,
                          .first_met = NO_STRAND,
                          .span = w->span};
    return move;
}

static void note_use(struct writer *w, enum clamp_kind kind) {
    struct clamp_use *use = &w->pattern->clamps[kind];
    int move = (int)w->pattern->moves.count - 1, on = 0;
    for (int i = 0; i < LIMIT_CLAMPS; i++)
        on += w->clamps[kind][i].on;
    if (use->used == 0) use->first_move = move;
    if (on > use->used) use->used = on;
    use->last_move = move;
}

static void put_on(struct writer *w, enum clamp_kind kind, int end, int strand, bool anchor,
                   bool at_start) {
    int number = 0;
    while (w->clamps[kind][number].on)
        number++;
    w->clamps[kind][number] = (struct clamp_place){true, end, at_start};
    struct move *move = write_move(w, MOVE_CLAMP, end, strand);
    move->clamp = kind;
    move->clamp_number = number + 1;
    move->anchor = anchor;
    move->at_start = at_start;
    note_use(w, kind);
}

static void take_off(struct writer *w, enum clamp_kind kind, int end, int strand, bool at_start) {
    int number = 0;
    while (!(w->clamps[kind][number].on && w->clamps[kind][number].end == end &&
             w->clamps[kind][number].at_start == at_start))
        number++;
    struct move *move = write_move(w, MOVE_RELEASE, end, strand);
    move->clamp = kind;
    move->clamp_number = number + 1;
    move->at_start = at_start;
    note_use(w, kind);
    w->clamps[kind][number].on = false;
}

static int strand_at(const struct writer *w, int end, int pass) {
    return w->pattern->ends[end].passes.at[pass].strand;
}

static void write_pull(struct writer *w, enum move_kind kind, int end, int pass) {
    const struct pass *at = &w->pattern->ends[end].passes.at[pass];
    struct move *move = write_move(w, kind, end, at->strand);
    move->enter = at->enter;
    move->leave = at->leave;
    move->tension = w->pattern->tensions[at->strand].pull;
}

static void write_tie(struct writer *w, int end, const struct knot *knot, int pass, bool at_start) {
    struct move *move = write_move(w, MOVE_TIE, end, strand_at(w, end, pass));
    move->hole = knot->hole;
    move->around = knot->around;
    move->at_start = at_start;
}

static void write_hand_over(struct writer *w, int end) {
    int last = w->pulled[end] - 1, strand = strand_at(w, end, last);
    write_pull(w, MOVE_REPULL, end, last);
    take_off(w, CLAMP_STARTING, end, strand, false);
    put_on(w, CLAMP_FIXED, end, strand, false, false);
}

static void write_close_start(struct writer *w, int end) {
    int strand = strand_at(w, end, 0);
    const struct pass *first = &w->pattern->ends[end].passes.at[0];
    write_pull(w, MOVE_REPULL, end, 0);
    struct move *repull = &w->pattern->moves.at[w->pattern->moves.count - 1];
    repull->at_start = true;
    repull->enter = first->leave; /* it is pulled out of the hole it went in by */
    repull->leave = first->enter;
    take_off(w, CLAMP_STARTING, end, strand, true);
    put_on(w, CLAMP_FIXED, end, strand, false, true);
    write_tie(w, end, &w->pattern->ends[end].start, 0, true);
    take_off(w, CLAMP_FIXED, end, strand, true);
}

static void write_act_pull(struct writer *w, const struct moment *moment, struct hold_state before,
                           enum clamp_kind with) {
    int e = moment->act.end, other = other_end(w->pattern, e), pass = moment->act.pass;
    int strand = strand_at(w, e, pass);
    if (other != NO_END && before.end[other] == FREE)
        put_on(w, CLAMP_FIXED, other, strand_at(w, other, 0), true, false);
    if (w->pattern->ends[e].name == END_CROSS && before.start == START_OPEN)
        put_on(w, CLAMP_STARTING, e, strand, true, true);
    write_pull(w, MOVE_PULL, e, pass);
    if (before.end[e] == ANCHOR) take_off(w, CLAMP_FIXED, e, strand, false);
    if (before.end[e] == FIXED) take_off(w, CLAMP_FIXED, e, strand_at(w, e, pass - 1), false);
    put_on(w, with, e, strand, false, false);
    w->pulled[e]++;
}

static void write_step(struct writer *w, const struct moment *moment, const struct step *step,
                       struct hold_state before) {
    const struct act *act = &moment->act;
    w->span = act->span;
    if (step->kind == STEP_HAND_OVER) {
        write_hand_over(w, step->end);
    } else if (step->kind == STEP_CLOSE_START) {
        write_close_start(w, step->end);
    } else if (act->kind == ACT_THREAD) {
        const struct pass *pass = pass_of_act(w->pattern, act);
        struct move *move = write_move(w, MOVE_THREAD, act->end, pass->strand);
        move->enter = pass->enter;
        move->leave = pass->leave;
    } else if (act->kind == ACT_PULL) {
        write_act_pull(w, moment, before, step->with);
    } else if (act->kind == ACT_START) {
        const struct end *end = &w->pattern->ends[act->end];
        if (!end->start_clamped) write_tie(w, act->end, &end->start, 0, true);
    } else {
        int last = w->pulled[act->end] - 1;
        write_tie(w, act->end, &w->pattern->ends[act->end].tie, last, false);
        take_off(w, CLAMP_FIXED, act->end, strand_at(w, act->end, last), false);
    }
}

struct path_step {
    struct step step;
    struct hold_state before;
    int layer; /* of the act it stands before or does */
};

static void write_moves(struct plan *plan) {
    array_reserve(plan->arena, &plan->pattern->moves, plan->count * 5 / 2 + 8);
    array_of(struct path_step) path = {0};
    int layer = plan->count;
    const struct node *node = &plan->layers[layer].nodes.at[best_node(plan, layer)];
    while (node->step.kind != STEP_NONE) {
        struct path_step *at = array_add(plan->arena, &path);
        at->step = node->step;
        if (node->step.kind == STEP_ACT) layer--;
        node = &plan->layers[layer].nodes.at[node->step.from];
        at->before = node->state;
        at->layer = layer;
    }
    struct writer *w = arena_one(plan->arena, struct writer);
    w->plan = plan;
    w->pattern = plan->pattern;
    for (size_t i = path.count; i-- > 0;)
        write_step(w, &plan->moments[path.at[i].layer], &path.at[i].step, path.at[i].before);
}

/* ---- when clamps run out ---- */

static const char *hold_words(const struct plan *plan, int layer, struct arena *arena) {
    const struct pattern *pattern = plan->pattern;
    struct hold_state state = plan->layers[layer].nodes.at[best_node(plan, layer)].state;
    const struct moment *moment = &plan->moments[layer];
    struct output out = output_to(arena);
    for (int e = 0; e < pattern->end_count; e++) {
        enum hold hold = state.end[e];
        if (hold == FREE || hold == TIED) continue;
        int pass = hold == ANCHOR ? 0 : moment->pulled[e] - 1;
        put_format(&out, "%s%s on %s of the %s end", out.length > 0 ? ", " : "",
                   hold == STARTING ? "a starting clamp" : "a fixed clamp",
                   pattern->frame->strands[pattern->ends[e].passes.at[pass].strand].name,
                   end_word(pattern->ends[e].name));
    }
    if (state.start == START_CLAMPED)
        put_format(&out, "%sa starting clamp at the start of the cross string",
                   out.length > 0 ? ", " : "");
    return out.length > 0 ? output_text(&out)
                          : "none yet; the first pull takes a clamp for its strand and one to "
                            "hold the fold or the start";
}

static void report_clamps_short(struct plan *plan, struct report *report, int layer) {
    struct pattern *pattern = plan->pattern;
    const struct bench *bench = pattern->bench;
    int fixed = plan->clamps[CLAMP_FIXED], starting = plan->clamps[CLAMP_STARTING];
    const struct act *act = &plan->moments[layer].act;
    const char *holding = hold_words(plan, layer, plan->arena);
    bool fewer = fixed < bench->clamps[CLAMP_FIXED] || starting < bench->clamps[CLAMP_STARTING];
    struct finding *finding =
        report_add(report, RULE_clamps_short, act->span,
                   "the clamps run out here, with %d fixed and %d starting %s", fixed, starting,
                   fewer ? "that may be used" : "on the bench");
    finding_note(report, finding, act->span, "in use at this moment: %s", holding);
    if (bench->clamps_given) finding_note(report, finding, bench->span, "the bench");
    for (int kind = 0; fewer && kind < CLAMP_KINDS; kind++)
        if (span_given(pattern->intents.clamps_span[kind]))
            finding_note(report, finding, pattern->intents.clamps_span[kind],
                         "so many %s clamps may be used", clamp_word((enum clamp_kind)kind));
    struct output would = output_to(plan->arena);
    for (int more = 1; more <= LIMIT_CLAMPS && would.length == 0; more++)
        for (int of_them = 0; of_them <= more; of_them++) {
            plan->clamps[CLAMP_FIXED] = fixed + more - of_them;
            plan->clamps[CLAMP_STARTING] = starting + of_them;
            if (plan->clamps[CLAMP_FIXED] > LIMIT_CLAMPS ||
                plan->clamps[CLAMP_STARTING] > LIMIT_CLAMPS)
                continue;
            if (search(plan) < plan->count) continue;
            put_format(&would, "%s%d fixed and %d starting", would.length > 0 ? ", or " : "",
                       plan->clamps[CLAMP_FIXED], plan->clamps[CLAMP_STARTING]);
        }
    if (would.length > 0)
        finding_help(report, finding, "%s would do; or tie an end off earlier",
                     output_text(&would));
    else
        finding_help(report, finding, "tie an end off earlier");
}

static struct plan *plan_for(struct pattern *pattern, struct arena *arena) {
    struct plan *plan = arena_one(arena, struct plan);
    *plan = (struct plan){.pattern = pattern, .arena = arena};
    for (int kind = 0; kind < CLAMP_KINDS; kind++)
        plan->clamps[kind] = clamps_allowed(pattern, (enum clamp_kind)kind);
    list_moments(plan);
    return plan;
}

bool clamps_suffice(struct pattern *pattern, struct arena *arena) {
    struct plan *plan = plan_for(pattern, arena);
    return search(plan) == plan->count;
}

void plan_moves(struct pattern *pattern, struct arena *arena, struct report *report) {
    struct plan *plan = plan_for(pattern, arena);
    int done = search(plan);
    if (done == plan->count)
        write_moves(plan);
    else
        report_clamps_short(plan, report, done);
}
