/* The hoop's compliance depends on hoop and throat alone, so it is worked out once for all mounts
 * and strings. */
#include "mechanics/sweep.h"

#include "mechanics/evenness.h"

#include <math.h>

static const double ONE[] = {1};
static const double FACTORS[] = {0.5, 1, 2}; /* on the hoop */
const double throat_choices[THROAT_CHOICES] = {1, 2, 4};
static const double STRINGS[] = {0.7, 1, 1.4, 2};
static const double SUPPORTS[] = {0.25, 1, 5};
enum { HOOP_CHOICES = 3, STRING_CHOICES = 4, SUPPORT_CHOICES = 3 };

struct grid usual_grid(struct known_values known) {
    struct grid grid = {.string = {ONE, 1, 0}};
    if (!known.string) grid.string = (struct choices){STRINGS, STRING_CHOICES, 1};
    bool varied = known.mount != MOUNT_KNOWN;
    grid.mount_count = (varied ? SUPPORT_CHOICES : 1) + (known.mount == MOUNT_NOT_KNOWN);
    grid.nominal_mount = varied ? 1 : 0;
    return grid;
}

void vary_hoop(struct grid *grid, struct hoop_stiffness stiffness, struct arena *arena) {
    struct hoop_stiffness *hoops = arena_many(arena, struct hoop_stiffness, HOOPS);
    for (int h = 0; h < HOOP_CHOICES; h++)
        for (int t = 0; t < THROAT_CHOICES; t++)
            hoops[h * THROAT_CHOICES + t] = (struct hoop_stiffness){
                stiffness.bending * FACTORS[h], stiffness.axial * FACTORS[h], throat_choices[t]};
    grid->hoops = hoops;
    grid->hoop_count = HOOPS;
    grid->nominal_hoop = HOOPS / 2;
}

static struct supports times(struct supports mount, double factor, struct arena *arena) {
    struct support *supports = arena_many(arena, struct support, mount.count + 1);
    for (int i = 0; i < mount.count; i++) {
        supports[i] = mount.at[i];
        supports[i].stiffness *= factor;
    }
    return (struct supports){supports, mount.count};
}

const struct supports *usual_mounts(struct supports mount, enum mount_known known,
                                    struct arena *arena) {
    struct supports *mounts = arena_many(arena, struct supports, SUPPORT_CHOICES + 1);
    int count = 0;
    if (known == MOUNT_KNOWN) mounts[count++] = mount;
    for (int i = 0; known != MOUNT_KNOWN && i < SUPPORT_CHOICES; i++)
        mounts[count++] = times(mount, SUPPORTS[i], arena);
    if (known == MOUNT_NOT_KNOWN && mount.count > 0)
        mounts[count++] = supports_of(mount_of(MOUNT_TWO_POINT), mount.at[0].stiffness, arena);
    return mounts;
}

static void fill_evenness(const struct frame *frame, const struct state *state, bool off_machine,
                          double figures[FIGURES]) {
    static const enum kind kinds[] = {MAIN, CROSS};
    for (int k = 0; k < 2; k++) {
        struct evenness evenness = evenness_of(frame, kinds[k], state->tensions, NULL);
        double *at = &figures[evenness_figure(kinds[k], off_machine, EVENNESS_MEAN)];
        at[EVENNESS_MEAN] = evenness.mean;
        at[EVENNESS_DEVIATION] = evenness.deviation;
        at[EVENNESS_LEAST] = evenness.least;
        at[EVENNESS_MOST] = evenness.most;
    }
}

static void fill_figures(const struct frame *frame, const struct outcome *o,
                         double figures[FIGURES]) {
    fill_evenness(frame, &o->on_machine, false, figures);
    fill_evenness(frame, &o->off_machine, true, figures);
    figures[FIGURE_WIDEST] = o->widest.value;
    figures[FIGURE_NARROWEST] = o->narrowest.value;
    figures[FIGURE_LONGEST] = o->longest.value;
    figures[FIGURE_SHORTEST] = o->shortest.value;
    figures[FIGURE_MOMENT] = fabs(o->off_machine.moment);
    figures[FIGURE_MOMENT_PEAK] = fabs(o->moment.value);
    figures[FIGURE_FORCE] = o->force.value;
    figures[FIGURE_WIDTH] = o->off_machine.width;
    figures[FIGURE_LENGTH] = o->off_machine.length;
}

static void widen(struct range *range, double value, bool first, bool nominal) {
    if (first || value < range->least) range->least = value;
    if (first || value > range->most) range->most = value;
    if (nominal) range->nominal = value;
}

struct sweeping {
    const struct frame *frame;
    const struct swept *jobs;
    int job_count;
    struct arena *arena;
    struct sweep *sweep;
    struct range sizes[FIGURES]; /* the difference of both without their signs */
};

static void widen_strands(struct sweeping *s, int job, const struct outcome *o, bool nominal) {
    bool first = s->sweep->sets == 1;
    for (int i = 0; i < s->frame->strand_count; i++) {
        widen(&s->sweep->on_machine[job][i], o->on_machine.tensions[i], first, nominal);
        widen(&s->sweep->off_machine[job][i], o->off_machine.tensions[i], first, nominal);
    }
}

/* One set of values: the jobs' machines differ in strings and mount alone. */
static void add_set(struct sweeping *s, const struct machine *machines, bool nominal) {
    double figures[MOST_SWEPT][FIGURES];
    struct sweep *sweep = s->sweep;
    struct arena_mark mark = arena_mark(s->arena);
    bool first = sweep->sets++ == 0;
    for (int j = 0; j < s->job_count; j++) {
        const struct outcome *o = do_job(&machines[j], s->jobs[j].job, REPORT_ENDS, s->arena);
        sweep->sound &= o->sound;
        fill_figures(s->frame, o, figures[j]);
        for (int f = 0; f < FIGURES; f++)
            widen(&sweep->figures[j][f], figures[j][f], first, nominal);
        widen_strands(s, j, o, nominal);
    }
    for (int f = 0; f < FIGURES && s->job_count == 2; f++) {
        widen(&sweep->difference[f], figures[1][f] - figures[0][f], first, nominal);
        widen(&s->sizes[f], fabs(figures[1][f]) - fabs(figures[0][f]), first, nominal);
    }
    arena_rewind(s->arena, mark);
}

double no_difference(int figure) {
    if (figure < FIGURE_WIDEST || figure == FIGURE_FORCE) return NO_DIFFERENCE_N;
    bool moment = figure == FIGURE_MOMENT_PEAK || figure == FIGURE_MOMENT;
    return moment ? NO_DIFFERENCE_N_MM : NO_DIFFERENCE_MM;
}

static void judge_differences(const struct sweeping *s) {
    struct sweep *sweep = s->sweep;
    for (int f = 0; f < FIGURES; f++) {
        double least = no_difference(f);
        sweep->differs[f] =
            sweep->difference[f].least > least || sweep->difference[f].most < -least;
        sweep->nearer[f] = s->sizes[f].least > least ? 0 : s->sizes[f].most < -least ? 1 : NO_JOB;
    }
}

static double *scaled(const double *values, double factor, int count, struct arena *arena) {
    double *to = arena_many(arena, double, count + 1);
    add_times(to, factor, values, (size_t)count);
    return to;
}

/* Nodes for the supports of all mounts of all jobs. */
static const struct hoop *hoop_for(const struct frame *frame, const struct grid *grid,
                                   const struct swept *jobs, int job_count, struct arena *arena) {
    struct supports *mounts = arena_many(arena, struct supports, job_count * grid->mount_count + 1);
    int count = 0;
    for (int j = 0; j < job_count; j++)
        for (int m = 0; m < grid->mount_count; m++)
            mounts[count++] = jobs[j].mounts[m];
    return hoop_of(frame, mounts, count, LONGEST_ELEMENT_MM, arena);
}

const struct sweep *sweep_jobs(const struct frame *frame, const struct grid *grid,
                               const struct swept *jobs, int job_count,
                               const struct algebra *algebra, struct arena *arena) {
    struct sweep *sweep = arena_one(arena, struct sweep);
    struct sweeping s = {frame, jobs, job_count, arena, sweep, {{0, 0, 0}}};
    const double *strings[MOST_SWEPT][MOST_CHOICES];
    for (int j = 0; j < job_count; j++) {
        sweep->on_machine[j] = arena_many(arena, struct range, frame->strand_count + 1);
        sweep->off_machine[j] = arena_many(arena, struct range, frame->strand_count + 1);
        for (int k = 0; k < grid->string.count; k++)
            strings[j][k] =
                scaled(jobs[j].string_axial, grid->string.factors[k], frame->strand_count, arena);
    }
    const struct hoop *hoop = hoop_for(frame, grid, jobs, job_count, arena);
    sweep->sound = true;
    for (int h = 0; h < grid->hoop_count; h++) {
        struct arena_mark mark = arena_mark(arena);
        const struct compliance *c =
            compliance_of(hoop, grid->hoops[h], COMPLIANCE_MOMENTS, algebra, arena);
        sweep->sound &= c != NULL;
        for (int k = 0; c != NULL && k < grid->string.count; k++)
            for (int m = 0; m < grid->mount_count; m++) {
                struct machine machines[MOST_SWEPT];
                for (int j = 0; j < job_count; j++)
                    machines[j] = (struct machine){c, strings[j][k], jobs[j].mounts[m], algebra};
                bool nominal = h == grid->nominal_hoop && k == grid->string.nominal &&
                               m == grid->nominal_mount;
                add_set(&s, machines, nominal);
            }
        arena_rewind(arena, mark);
    }
    judge_differences(&s);
    return sweep;
}
