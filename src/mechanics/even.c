/* Where what touches what stays as it is, tensions off the machine are linear in the pulls: one job
 * for each strand with 1 N for its pull gives the equations. They are set up again with what
 * touches then, until tensions really are alike. */
#include "mechanics/even.h"

#include "pattern/pattern.h"

#include <math.h>
#include <string.h>

struct tuning {
    const struct machine *machine;
    const struct frame *frame;
    struct job job;
    struct arena *arena;
    int count;    /* strands that are pulled */
    int *strands; /* which */
    bool *pulled; /* by strand */
    struct event *events;
    double *asked; /* pulls as they were, by strand */
};

static struct job job_pulled_by(struct tuning *t, const double *pulls) {
    for (int i = 0; i < t->job.count; i++)
        if (t->events[i].kind == EVENT_PULL) t->events[i].amount = pulls[t->events[i].strand];
    return (struct job){t->events, t->job.count};
}

static struct bed_evenness evenness_with(struct tuning *t, const double *tensions) {
    return (struct bed_evenness){evenness_of(t->frame, MAIN, tensions, t->pulled),
                                 evenness_of(t->frame, CROSS, tensions, t->pulled)};
}

/* The last pull of each strand stands for it. */
static struct tuning start_tuning(const struct machine *machine, struct job job,
                                  struct arena *arena) {
    const struct frame *frame = machine->compliance->hoop->frame;
    int strands = frame->strand_count;
    struct tuning t = {.machine = machine, .frame = frame, .job = job, .arena = arena};
    t.strands = arena_many(arena, int, strands + 1);
    t.pulled = arena_many(arena, bool, strands + 1);
    t.events = arena_many(arena, struct event, job.count + 1);
    t.asked = arena_many(arena, double, strands + 1);
    for (int i = 0; i < job.count; i++) {
        t.events[i] = job.events[i];
        if (job.events[i].kind != EVENT_PULL) continue;
        t.asked[job.events[i].strand] = job.events[i].amount;
        t.pulled[job.events[i].strand] = true;
    }
    for (int i = 0; i < strands; i++)
        if (t.pulled[i]) t.strands[t.count++] = i;
    return t;
}

/* Tensions off the machine in the contact of another outcome, by strand. */
static const double *tensions_in(struct tuning *t, const double *pulls, const bool *contact) {
    const struct outcome *o =
        do_job_in_contact(t->machine, job_pulled_by(t, pulls), contact, t->arena);
    return o->sound ? o->off_machine.tensions : NULL;
}

static double sum_of_kind(const struct tuning *t, enum kind kind, const double *by_pulled,
                          int *count) {
    double sum = 0;
    for (int i = 0; i < t->count; i++)
        if (t->frame->strands[t->strands[i]].kind == kind) {
            sum += by_pulled[i];
            (*count)++;
        }
    return sum;
}

/* Pulls = those that leave nothing + main target * those that leave mains at 1 N + the same for
 * crosses; the two targets keep the sums of the pulls. `solved` holds the three, one after another.
 */
static bool set_targets(const struct tuning *t, const double *solved, double *pulls) {
    double sums[3][2] = {{0}}, counts[2] = {0};
    for (int part = 0; part < 3; part++)
        for (int kind = 0; kind < 2; kind++) {
            int count = 0;
            sums[part][kind] =
                sum_of_kind(t, kind == 0 ? MAIN : CROSS, solved + part * t->count, &count);
            counts[kind] = count;
        }
    double lacks[2] = {-sums[0][0], -sums[0][1]};
    for (int i = 0; i < t->count; i++) {
        int strand = t->strands[i];
        lacks[t->frame->strands[strand].kind == MAIN ? 0 : 1] += t->asked[strand];
    }
    double matrix[2][2] = {{sums[1][0], sums[2][0]}, {sums[1][1], sums[2][1]}};
    for (int kind = 0; kind < 2; kind++)
        if (counts[kind] == 0) { /* its target is not needed */
            matrix[kind][kind] = 1;
            lacks[kind] = 0;
        }
    double determinant = matrix[0][0] * matrix[1][1] - matrix[0][1] * matrix[1][0];
    if (!(fabs(determinant) > 0)) return false;
    double mains = (lacks[0] * matrix[1][1] - lacks[1] * matrix[0][1]) / determinant;
    double crosses = (lacks[1] * matrix[0][0] - lacks[0] * matrix[1][0]) / determinant;
    for (int i = 0; i < t->count; i++)
        pulls[t->strands[i]] =
            solved[i] + mains * solved[t->count + i] + crosses * solved[2 * t->count + i];
    return true;
}

/* A copy in which no strand is slack off the machine: none will be once all are alike. */
static const bool *all_taut_off(const struct tuning *t, const bool *contact) {
    size_t each = (size_t)(t->frame->strand_count + t->machine->mount.count);
    size_t off = (size_t)t->job.count * each;
    bool *taut = arena_many(t->arena, bool, off + each + 1);
    memcpy(taut, contact, off + each);
    for (int i = 0; i < t->frame->strand_count; i++)
        taut[off + (size_t)i] = true;
    return taut;
}

/* The even pulls as long as what touches what is as in an outcome; false where there are none. */
static bool solve_in_contact(struct tuning *t, const bool *as_in, double *pulls) {
    int n = t->count;
    const bool *contact = all_taut_off(t, as_in);
    double *matrix = arena_many(t->arena, double, n *n + 1);
    double *solved = arena_many(t->arena, double, 3 * n + 1);
    double *tried = arena_many(t->arena, double, t->frame->strand_count + 1);
    int *pivots = arena_many(t->arena, int, n + 1);
    struct arena_mark mark = arena_mark(t->arena);
    const double *nothing = tensions_in(t, tried, contact);
    if (nothing == NULL) return false;
    for (int i = 0; i < n; i++) {
        solved[i] = -nothing[t->strands[i]];
        solved[n + i] = t->frame->strands[t->strands[i]].kind == MAIN;
        solved[2 * n + i] = t->frame->strands[t->strands[i]].kind == CROSS;
    }
    double *offset = arena_many(t->arena, double, t->frame->strand_count + 1);
    memcpy(offset, nothing, sizeof(double) * (size_t)t->frame->strand_count);
    struct arena_mark each = arena_mark(t->arena);
    for (int k = 0; k < n; k++) {
        tried[t->strands[k]] = 1;
        const double *tensions = tensions_in(t, tried, contact);
        if (tensions == NULL) return false;
        for (int i = 0; i < n; i++)
            matrix[k * n + i] = tensions[t->strands[i]] - offset[t->strands[i]];
        tried[t->strands[k]] = 0;
        arena_rewind(t->arena, each);
    }
    arena_rewind(t->arena, mark);
    return square_solve(t->machine->algebra, matrix, n, pivots, solved, 3) &&
           set_targets(t, solved, pulls);
}

static double held_to(double pull, struct pull_limits limits) {
    double step = limits.step, rounded = pull;
    if (step > 0) rounded = step_nearest(pull, step);
    if (limits.least > 0 && rounded < limits.least)
        rounded = step > 0 ? step_up(limits.least, step) : limits.least;
    if (limits.most > 0 && rounded > limits.most)
        rounded = step > 0 ? step_down(limits.most, step) : limits.most;
    return rounded;
}

static bool all_pull(const struct tuning *t, const double *pulls) {
    for (int i = 0; i < t->count; i++)
        if (!(pulls[t->strands[i]] > 0) || !isfinite(pulls[t->strands[i]])) return false;
    return true;
}

/* Solves until nothing changes; leaves the pulls in `even->exact`. */
static enum even_result find_exact(struct tuning *t, struct even *even) {
    enum { ROUNDS = 25 };
    static const double ALIKE = 1e-6; /* N */
    double least = INFINITY;
    int strands = t->frame->strand_count;
    memcpy(even->exact, t->asked, sizeof(double) * (size_t)strands);
    const struct outcome *o = do_job(t->machine, t->job, REPORT_ENDS, t->arena);
    if (!o->sound) return EVEN_IMPOSSIBLE;
    even->before = even->after = evenness_with(t, o->off_machine.tensions);
    for (int round = 0; round < ROUNDS; round++) {
        const bool *contact = o->contact;
        double *pulls = arena_many(t->arena, double, strands + 1);
        if (!solve_in_contact(t, contact, pulls) || !all_pull(t, pulls)) break;
        o = do_job(t->machine, job_pulled_by(t, pulls), REPORT_ENDS, t->arena);
        if (!o->sound) break;
        struct bed_evenness after = evenness_with(t, o->off_machine.tensions);
        double unlike = after.mains.deviation + after.crosses.deviation;
        if (unlike >= least) continue;
        least = unlike;
        memcpy(even->exact, pulls, sizeof(double) * (size_t)strands);
        even->after = after;
        if (after.mains.deviation < ALIKE && after.crosses.deviation < ALIKE) return EVEN_FOUND;
    }
    return isfinite(least) ? EVEN_DID_NOT_SETTLE : EVEN_IMPOSSIBLE;
}

const struct even *even_pulls(const struct machine *machine, struct job job,
                              struct pull_limits limits, struct arena *arena) {
    struct tuning t = start_tuning(machine, job, arena);
    struct even *even = arena_one(arena, struct even);
    even->exact = arena_many(arena, double, t.frame->strand_count + 1);
    even->rounded = arena_many(arena, double, t.frame->strand_count + 1);
    even->result = find_exact(&t, even);
    if (even->result == EVEN_IMPOSSIBLE) return even;
    struct pull_limits step_only = {.step = limits.step};
    for (int i = 0; i < t.count; i++) {
        int strand = t.strands[i];
        even->rounded[strand] = held_to(even->exact[strand], limits);
        even->limited += even->rounded[strand] != held_to(even->exact[strand], step_only);
    }
    const struct outcome *o = do_job(machine, job_pulled_by(&t, even->rounded), REPORT_ENDS, arena);
    even->after_rounding = evenness_with(&t, o->off_machine.tensions);
    if (!o->sound) even->result = EVEN_DID_NOT_SETTLE;
    return even;
}
