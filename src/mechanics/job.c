/* The springs that are held make a small system of equations: what each strand's unloaded length
 * asks for equals what it gives and what the hoop gives under all of them. Its Cholesky factor
 * grows by a row with each pull. Supports and the three motions of the whole stand beside it, so
 * that what touches what is settled on them alone. */
#include "mechanics/job.h"

#include <math.h>
#include <string.h>

/* Holds the whole where supports do not: N/mm, shared among the nodes, against their mean motion
 * alone. So little that it holds back nothing that is held otherwise. */
static const double GROUND = 0.001;
/* N; forces and what they lack of touching are told from nought beyond this. */
static const double TOUCH = 1e-7;

struct bed {
    const struct machine *machine;
    const struct compliance *c;
    struct arena *arena;
    int strands, supports;

    double *springs;  /* by strand, N/mm */
    double *lengths;  /* by strand: what the spring is tightened by, mm */
    bool *held;       /* by strand: pulled */
    int *bearing_of;  /* by support: its load */
    double *yielding; /* by support, mm/N */
    bool *touches;    /* by support */
    bool mounted;

    /* The strands that are springs, and the factor U of their system, U'U. */
    int *order, *place; /* place by strand, or -1 */
    int count;
    double *upper;   /* strands x strands, column by column */
    double *beside;  /* by spring, supports each: U'^-1 of what supports do to springs */
    double *base;    /* supports x supports: what they do to one another and give themselves ... */
    double *reduced; /* ... less what the springs take of it */

    /* Of the moment. */
    double *loads; /* by load of the compliance, N */
    double motion[RIGID_MOTIONS];
    double *side, *small, *small_side;
    int *pivots, *touching;
};

static struct bed *open_bed(const struct machine *machine, struct arena *arena) {
    struct bed *b = arena_one(arena, struct bed);
    const struct hoop *hoop = machine->compliance->hoop;
    int n = hoop->strand_count, p = machine->mount.count, small = p + RIGID_MOTIONS;
    b->machine = machine;
    b->c = machine->compliance;
    b->arena = arena;
    b->strands = n;
    b->supports = p;
    b->mounted = true;
    b->springs = arena_many(arena, double, n + 1);
    b->lengths = arena_many(arena, double, n + 1);
    b->held = arena_many(arena, bool, n + 1);
    b->bearing_of = arena_many(arena, int, p + 1);
    b->yielding = arena_many(arena, double, p + 1);
    b->touches = arena_many(arena, bool, p + 1);
    b->order = arena_many(arena, int, n + 1);
    b->place = arena_many(arena, int, n + 1);
    b->upper = arena_many(arena, double, n *n + 1);
    b->beside = arena_many(arena, double, n *p + 1);
    b->base = arena_many(arena, double, p *p + 1);
    b->reduced = arena_many(arena, double, p *p + 1);
    b->loads = arena_many(arena, double, b->c->load_count);
    b->side = arena_many(arena, double, n + 1);
    b->small = arena_many(arena, double, small *small);
    b->small_side = arena_many(arena, double, small);
    b->pivots = arena_many(arena, int, small);
    b->touching = arena_many(arena, int, p + 1);
    for (int i = 0; i < n; i++) {
        b->springs[i] = machine->string_axial[i] / hoop->lines[i].length;
        b->place[i] = -1;
    }
    for (int i = 0; i < p; i++) {
        const struct support *support = &machine->mount.at[i];
        b->bearing_of[i] = b->c->first_bearing + hoop_bearing(hoop, support);
        b->yielding[i] = 1 / support->stiffness;
        b->touches[i] = true;
    }
    for (int i = 0; i < p; i++)
        for (int k = 0; k < p; k++)
            b->base[i * p + k] =
                gives(b->c, b->bearing_of[i], b->bearing_of[k]) + (i == k ? b->yielding[i] : 0);
    memcpy(b->reduced, b->base, sizeof(double) * (size_t)(p * p));
    return b;
}

/* ---- springs come and go ---- */

static void reduce_by(struct bed *b, int spring) {
    const double *row = b->beside + spring * b->supports;
    for (int i = 0; i < b->supports; i++)
        add_times(b->reduced + i * b->supports, -row[i], row, (size_t)b->supports);
}

static void add_spring(struct bed *b, int strand) {
    int at = b->count++;
    double *column = b->upper + at * b->strands, *row = b->beside + at * b->supports;
    for (int i = 0; i < at; i++)
        column[i] = gives(b->c, b->order[i], strand);
    triangle_solve_transposed(b->machine->algebra, b->upper, b->strands, at, column);
    double diagonal = gives(b->c, strand, strand) + 1 / b->springs[strand] -
                      sum_of_products(column, column, (size_t)at);
    column[at] = sqrt(diagonal);
    for (int i = 0; i < b->supports; i++)
        row[i] = gives(b->c, strand, b->bearing_of[i]);
    for (int i = 0; i < at; i++)
        add_times(row, -column[i], b->beside + i * b->supports, (size_t)b->supports);
    for (int i = 0; i < b->supports; i++)
        row[i] /= column[at];
    reduce_by(b, at);
    b->order[at] = strand;
    b->place[strand] = at;
}

static void remove_spring(struct bed *b, int strand) {
    int at = b->place[strand], count = b->count;
    memcpy(b->reduced, b->base, sizeof(double) * (size_t)(b->supports * b->supports));
    for (int i = 0; i < at; i++)
        reduce_by(b, i);
    b->place[strand] = -1;
    b->count = at;
    for (int i = at + 1; i < count; i++)
        add_spring(b, b->order[i]);
}

/* ---- balance ---- */

/* The forces of the supports that touch, and the motion of the whole; `side` holds what the springs
 * ask for, solved halfway. */
static bool balance_supports(struct bed *b, int pulled, double tension, double *forces) {
    int p = b->supports, touching = 0;
    memset(b->motion, 0, sizeof b->motion);
    for (int i = 0; i < p; i++) {
        forces[i] = 0;
        if (b->mounted && b->touches[i]) b->touching[touching++] = i;
    }
    if (touching == 0) return true;
    int size = touching + RIGID_MOTIONS;
    memset(b->small, 0, sizeof(double) * (size_t)(size * size));
    for (int i = 0; i < touching; i++) {
        int at = b->touching[i];
        const double *rigid =
            b->c->rigid + (b->bearing_of[at] - b->c->first_bearing) * RIGID_MOTIONS;
        for (int k = 0; k < touching; k++)
            b->small[i * size + k] = b->reduced[at * p + b->touching[k]];
        for (int m = 0; m < RIGID_MOTIONS; m++)
            b->small[i * size + touching + m] = b->small[(touching + m) * size + i] = rigid[m];
        double asked = pulled != NO_STRAND ? tension * gives(b->c, b->bearing_of[at], pulled) : 0;
        for (int k = 0; k < b->count; k++)
            asked += b->beside[k * p + at] * b->side[k];
        b->small_side[i] = -asked;
    }
    for (int m = 0; m < RIGID_MOTIONS; m++) {
        b->small[(touching + m) * (size + 1)] = -GROUND * b->c->motion_square[m];
        b->small_side[touching + m] = 0;
    }
    if (!square_solve(b->machine->algebra, b->small, size, b->pivots, b->small_side, 1))
        return false;
    for (int i = 0; i < touching; i++)
        forces[b->touching[i]] = b->small_side[i];
    memcpy(b->motion, b->small_side + touching, sizeof b->motion);
    return true;
}

/* All forces, where what touches what is known; `pulled` is in the tensioner, or NO_STRAND. */
static bool balance(struct bed *b, int pulled, double tension, double *forces) {
    for (int i = 0; i < b->count; i++)
        b->side[i] = b->lengths[b->order[i]] -
                     (pulled != NO_STRAND ? tension * gives(b->c, b->order[i], pulled) : 0);
    triangle_solve_transposed(b->machine->algebra, b->upper, b->strands, b->count, b->side);
    if (!balance_supports(b, pulled, tension, forces)) return false;
    for (int i = 0; i < b->count; i++)
        b->side[i] -= sum_of_products(b->beside + i * b->supports, forces, (size_t)b->supports);
    triangle_solve(b->machine->algebra, b->upper, b->strands, b->count, b->side);
    memset(b->loads, 0, sizeof(double) * (size_t)b->c->load_count);
    for (int i = 0; i < b->count; i++)
        b->loads[b->order[i]] = b->side[i];
    if (pulled != NO_STRAND) b->loads[pulled] = tension;
    for (int i = 0; i < b->supports; i++)
        b->loads[b->bearing_of[i]] += forces[i];
    return true;
}

/* mm by which a line is shorter, or a bearing moved along its push. */
static double given_way(const struct bed *b, int load) {
    double way = sum_of_products(b->c->matrix + (size_t)load * (size_t)b->c->load_count, b->loads,
                                 (size_t)b->c->load_count);
    if (load < b->c->first_bearing) return way;
    const double *rigid = b->c->rigid + (load - b->c->first_bearing) * RIGID_MOTIONS;
    return way + sum_of_products(rigid, b->motion, RIGID_MOTIONS);
}

/* By how many N a strand or support is on the wrong side: pulls or pushes where it cannot, or would
 * have a force where it is said to have none. */
static double wrong_by(const struct bed *b, int strand_or_support, int pulled,
                       const double *forces) {
    if (strand_or_support < b->strands) {
        int strand = strand_or_support;
        if (!b->held[strand] || strand == pulled) return 0;
        if (b->place[strand] >= 0) return -b->loads[strand];
        return b->springs[strand] * (b->lengths[strand] - given_way(b, strand));
    }
    int support = strand_or_support - b->strands;
    if (!b->mounted) return 0;
    if (b->touches[support]) return -forces[support];
    return -given_way(b, b->bearing_of[support]) / b->yielding[support];
}

static void turn(struct bed *b, int strand_or_support) {
    if (strand_or_support >= b->strands)
        b->touches[strand_or_support - b->strands] ^= true;
    else if (b->place[strand_or_support] >= 0)
        remove_spring(b, strand_or_support);
    else
        add_spring(b, strand_or_support);
}

/* Turns what is worst until nothing is wrong. Should that go round in a circle the first is turned
 * instead of the worst, which ends for every system of this kind (the least-index rule of Murty,
 * 1974; from memory). */
static bool settle(struct bed *b, int pulled, double tension, double *forces) {
    enum { WORST_FIRST = 4, MOST = 5000 };
    int all = b->strands + b->supports;
    for (int round = 0; round < MOST; round++) {
        if (!balance(b, pulled, tension, forces)) return false;
        int wrong = -1;
        double worst = TOUCH;
        for (int i = 0; i < all; i++) {
            double by = wrong_by(b, i, pulled, forces);
            if (!(by > worst)) continue;
            wrong = i;
            if (round >= WORST_FIRST * all) break;
            worst = by;
        }
        if (wrong < 0) return true;
        turn(b, wrong);
    }
    return false;
}

/* ---- what comes of it ---- */

static void find_moment(const struct bed *b, struct state *state, double *moments) {
    const struct compliance *c = b->c;
    size_t nodes = (size_t)c->hoop->node_count;
    memset(moments, 0, sizeof(double) * nodes);
    add_columns(moments, c->moments, nodes, b->loads, c->load_count);
    state->moment_node = 0;
    for (size_t i = 1; i < nodes; i++)
        if (fabs(moments[i]) > fabs(moments[state->moment_node])) state->moment_node = (int)i;
    state->moment = moments[state->moment_node];
}

static double *find_shifts(const struct bed *b) {
    const struct compliance *c = b->c;
    const struct hoop *hoop = c->hoop;
    size_t freedoms = (size_t)(hoop->node_count * FREEDOMS);
    double *shifts = arena_many(b->arena, double, freedoms);
    add_columns(shifts, c->shifts, freedoms, b->loads, c->load_count);
    for (int i = 0; i < hoop->node_count; i++) {
        double *at = shifts + i * FREEDOMS;
        at[0] += b->motion[0] - b->motion[2] * (hoop->nodes[i].y - hoop->middle.y);
        at[1] += b->motion[1] + b->motion[2] * (hoop->nodes[i].x - hoop->middle.x);
        at[2] += b->motion[2];
    }
    return shifts;
}

static struct state new_state(const struct bed *b) {
    return (struct state){.tensions = arena_many(b->arena, double, b->strands + 1),
                          .forces = arena_many(b->arena, double, b->supports + 1)};
}

/* Rounding may leave a force a hair below nought. */
static double never_less(double force) { return force > 0 ? force : 0; }

struct view {
    const double *forces;
    bool pushing; /* a strand may */
    double *moments;
    enum report_form form;
};

static void see(const struct bed *b, const struct view *view, struct state *state) {
    state->slack = 0;
    for (int i = 0; i < b->strands; i++) {
        double tension = b->loads[i];
        state->tensions[i] = view->pushing ? tension : never_less(tension);
        state->slack += b->held[i] && b->place[i] < 0;
    }
    for (int i = 0; i < b->supports; i++)
        state->forces[i] = view->pushing ? view->forces[i] : never_less(view->forces[i]);
    state->width = -given_way(b, b->strands + GAUGE_WIDTH);
    state->length = -given_way(b, b->strands + GAUGE_LENGTH);
    bool all = view->form == REPORT_ALL;
    if (all) state->moments = arena_many(b->arena, double, b->c->hoop->node_count);
    find_moment(b, state, all ? state->moments : view->moments);
    state->shifts = all && b->c->shifts != NULL ? find_shifts(b) : NULL;
}

static void note_peak(struct peak *peak, double value, int event, int node) {
    if (peak->event == NO_EVENT || fabs(value) > fabs(peak->value))
        *peak = (struct peak){value, event, node};
}

/* In the direction of `sign` alone. */
static void note_most(struct peak *peak, double value, int sign, int event) {
    if (value * sign > peak->value * sign) *peak = (struct peak){value, event, 0};
}

/* ---- the job ---- */

static void write_contact(const struct bed *b, bool *contact) {
    for (int i = 0; i < b->strands; i++)
        contact[i] = !b->held[i] || b->place[i] >= 0;
    for (int i = 0; i < b->supports; i++)
        contact[b->strands + i] = b->mounted && b->touches[i];
}

static bool take_contact(struct bed *b, const bool *contact, int pulled, double tension,
                         double *forces) {
    for (int i = 0; i < b->strands; i++)
        if (b->held[i] && i != pulled && contact[i] != (b->place[i] >= 0)) turn(b, i);
    for (int i = 0; i < b->supports; i++)
        b->touches[i] = contact[b->strands + i];
    return balance(b, pulled, tension, forces);
}

/* Lets a strand go as far as it is held. */
static void let_go(struct bed *b, int strand) {
    if (b->place[strand] >= 0) remove_spring(b, strand);
    b->held[strand] = false;
}

static void hold(struct bed *b, int strand, double tension) {
    b->lengths[strand] = tension / b->springs[strand] + given_way(b, strand);
    b->held[strand] = true;
    add_spring(b, strand);
}

static const struct outcome *run_job(const struct machine *machine, struct job job,
                                     const bool *contact, enum report_form form,
                                     struct arena *arena) {
    struct outcome *outcome = arena_one(arena, struct outcome);
    struct bed *b = open_bed(machine, arena);
    int each = b->strands + b->supports;
    double *forces = arena_many(arena, double, b->supports + 1);
    double *moments = arena_many(arena, double, b->c->hoop->node_count);
    struct view view = {forces, contact != NULL, moments, form};
    outcome->event_count = job.count;
    outcome->contact = arena_many(arena, bool, (job.count + 1) * each + 1);
    struct peak none = {.event = NO_EVENT};
    outcome->widest = outcome->narrowest = outcome->longest = outcome->shortest = none;
    outcome->moment = outcome->force = none;
    outcome->on_machine = new_state(b);
    outcome->off_machine = new_state(b);
    if (form == REPORT_ALL) outcome->after = arena_many(arena, struct state, job.count + 1);
    outcome->sound = true;
    for (int i = 0; i <= job.count && outcome->sound; i++) {
        bool off = i == job.count;
        const struct event *event = off ? NULL : &job.events[i];
        bool pull = !off && event->kind == EVENT_PULL;
        int pulled = pull ? event->strand : NO_STRAND;
        double tension = pull ? event->amount : 0;
        if (off)
            b->mounted = false;
        else if (pull)
            let_go(b, event->strand);
        else
            b->lengths[event->strand] -= event->amount;
        const bool *as_before = contact != NULL ? contact + i * each : NULL;
        outcome->sound = as_before != NULL ? take_contact(b, as_before, pulled, tension, forces)
                                           : settle(b, pulled, tension, forces);
        if (pull) hold(b, pulled, tension);
        write_contact(b, outcome->contact + i * each);
        struct state *state = off ? &outcome->off_machine : &outcome->on_machine;
        if (!off && form == REPORT_ALL) {
            outcome->after[i] = new_state(b);
            state = &outcome->after[i];
        }
        see(b, &view, state);
        if (off) continue;
        outcome->on_machine = *state;
        note_most(&outcome->widest, state->width, 1, i);
        note_most(&outcome->narrowest, state->width, -1, i);
        note_most(&outcome->longest, state->length, 1, i);
        note_most(&outcome->shortest, state->length, -1, i);
        note_peak(&outcome->moment, state->moment, i, state->moment_node);
        for (int k = 0; k < machine->mount.count; k++)
            note_peak(&outcome->force, state->forces[k], i, k);
        if (state->slack > outcome->most_slack) outcome->most_slack = state->slack;
    }
    return outcome;
}

const struct outcome *do_job(const struct machine *machine, struct job job, enum report_form form,
                             struct arena *arena) {
    return run_job(machine, job, NULL, form, arena);
}

const struct outcome *do_job_in_contact(const struct machine *machine, struct job job,
                                        const bool *contact, struct arena *arena) {
    return run_job(machine, job, contact, REPORT_ENDS, arena);
}
