/* The hoop's compliance depends on hoop and throat alone, so it is worked out once for all mounts
 * and strings. */
#include "mechanics/sweep.h"

#include "mechanics/evenness.h"

#include <math.h>

static const double ONE[] = {1};
static const double HOOPS[] = {0.5, 1, 2};
static const double THROATS[] = {1, 2, 4};
static const double STRINGS[] = {0.7, 1, 1.4, 2};
/* N/mm */
static const double SUPPORTS[] = {500, 2000, 10000};
enum { HOOP_CHOICES = 3, THROAT_CHOICES = 3, STRING_CHOICES = 4, SUPPORT_CHOICES = 3 };
enum { NOMINAL_SUPPORT = 1 }; /* of them; its place is taken by what is given or assumed */

static struct mount with_stiffness(struct mount mount, double stiffness, struct arena *arena) {
    struct support *supports = arena_many(arena, struct support, mount.count + 1);
    for (int i = 0; i < mount.count; i++) {
        supports[i] = mount.supports[i];
        supports[i].stiffness = stiffness;
    }
    return (struct mount){supports, mount.count};
}

struct grid usual_grid(const struct values *values, struct known_values known,
                       struct arena *arena) {
    struct grid grid = {.hoop = {ONE, 1, 0}, .string = {ONE, 1, 0}};
    double *throat = arena_one(arena, double);
    *throat = values->hoop.throat;
    grid.throat = (struct choices){throat, 1, 0};
    if (!known.hoop) grid.hoop = (struct choices){HOOPS, HOOP_CHOICES, 1};
    if (!known.throat) grid.throat = (struct choices){THROATS, THROAT_CHOICES, 1};
    if (!known.string) grid.string = (struct choices){STRINGS, STRING_CHOICES, 1};
    struct mount *mounts = arena_many(arena, struct mount, SUPPORT_CHOICES + 1);
    for (int i = 0; i < SUPPORT_CHOICES; i++)
        mounts[grid.mount_count++] = with_stiffness(values->mount, SUPPORTS[i], arena);
    mounts[NOMINAL_SUPPORT] = values->mount;
    if (!known.mount)
        mounts[grid.mount_count++] = mount_of_kind(MOUNT_TWO_POINT, ASSUMED_SUPPORT, arena);
    grid.mounts = mounts;
    grid.nominal_mount = NOMINAL_SUPPORT;
    return grid;
}

static void fill_figures(const struct frame *frame, const struct machine *machine,
                         const struct outcome *o, double figures[FIGURES]) {
    const struct state *off = &o->off_machine;
    struct evenness mains = evenness_of(frame, MAIN, off->tensions, NULL);
    struct evenness crosses = evenness_of(frame, CROSS, off->tensions, NULL);
    double force = 0;
    for (int i = 0; i < machine->mount.count; i++)
        force = fmax(force, o->on_machine.forces[i]);
    figures[FIGURE_MAINS_MEAN] = mains.mean;
    figures[FIGURE_MAINS_DEVIATION] = mains.deviation;
    figures[FIGURE_CROSSES_MEAN] = crosses.mean;
    figures[FIGURE_CROSSES_DEVIATION] = crosses.deviation;
    figures[FIGURE_LEAST] = crosses.count == 0 ? mains.least
                            : mains.count == 0 ? crosses.least
                                               : fmin(mains.least, crosses.least);
    figures[FIGURE_MOST] = fmax(mains.most, crosses.most);
    figures[FIGURE_WIDTH_PEAK] = fabs(o->width.value);
    figures[FIGURE_LENGTH_PEAK] = fabs(o->length.value);
    figures[FIGURE_MOMENT_PEAK] = fabs(o->moment.value);
    figures[FIGURE_FORCE] = force;
    figures[FIGURE_WIDTH] = off->width;
    figures[FIGURE_LENGTH] = off->length;
}

static void widen(struct range *range, double value, bool first, bool nominal) {
    if (first || value < range->least) range->least = value;
    if (first || value > range->most) range->most = value;
    if (nominal) range->nominal = value;
}

struct sweeping {
    const struct frame *frame;
    const struct job *jobs;
    int job_count;
    struct arena *arena;
    struct sweep *sweep;
};

static void add_set(struct sweeping *s, const struct machine *machine, bool nominal) {
    double figures[2][FIGURES];
    struct sweep *sweep = s->sweep;
    struct arena_mark mark = arena_mark(s->arena);
    bool first = sweep->sets++ == 0;
    for (int j = 0; j < s->job_count; j++) {
        const struct outcome *o = do_job(machine, s->jobs[j], REPORT_ENDS, s->arena);
        sweep->sound &= o->sound;
        fill_figures(s->frame, machine, o, figures[j]);
        for (int f = 0; f < FIGURES; f++)
            widen(&sweep->figures[j][f], figures[j][f], first, nominal);
    }
    for (int f = 0; f < FIGURES && s->job_count == 2; f++)
        widen(&sweep->difference[f], figures[1][f] - figures[0][f], first, nominal);
    arena_rewind(s->arena, mark);
}

static void judge_differences(struct sweep *sweep) {
    static const double ROUNDING = 1e-7;
    for (int f = 0; f < FIGURES; f++) {
        double size = fmax(fabs(sweep->figures[0][f].most), fabs(sweep->figures[1][f].most));
        double least = ROUNDING * fmax(size, ROUNDING);
        sweep->differs[f] =
            sweep->difference[f].least > least || sweep->difference[f].most < -least;
    }
}

static double *scaled(const double *values, double factor, int count, struct arena *arena) {
    double *to = arena_many(arena, double, count + 1);
    add_times(to, factor, values, (size_t)count);
    return to;
}

const struct sweep *sweep_jobs(const struct frame *frame, const struct values *values,
                               const struct grid *grid, const struct job *jobs, int job_count,
                               const struct algebra *algebra, struct arena *arena) {
    struct sweep *sweep = arena_one(arena, struct sweep);
    struct sweeping s = {frame, jobs, job_count, arena, sweep};
    const double **strings = arena_many(arena, const double *, grid->string.count);
    for (int i = 0; i < grid->string.count; i++)
        strings[i] =
            scaled(values->string_axial, grid->string.factors[i], frame->strand_count, arena);
    const struct hoop *hoop =
        hoop_of(frame, grid->mounts, grid->mount_count, LONGEST_ELEMENT_MM, arena);
    sweep->sound = true;
    for (int h = 0; h < grid->hoop.count; h++)
        for (int t = 0; t < grid->throat.count; t++) {
            struct arena_mark mark = arena_mark(arena);
            struct hoop_stiffness stiffness = {values->hoop.bending * grid->hoop.factors[h],
                                               values->hoop.axial * grid->hoop.factors[h],
                                               grid->throat.factors[t]};
            const struct compliance *c =
                compliance_of(hoop, stiffness, COMPLIANCE_MOMENTS, algebra, arena);
            sweep->sound &= c != NULL;
            for (int k = 0; c != NULL && k < grid->string.count; k++)
                for (int m = 0; m < grid->mount_count; m++) {
                    struct machine machine = {c, strings[k], grid->mounts[m], algebra};
                    bool nominal = h == grid->hoop.nominal && t == grid->throat.nominal &&
                                   k == grid->string.nominal && m == grid->nominal_mount;
                    add_set(&s, &machine, nominal);
                }
            arena_rewind(arena, mark);
        }
    judge_differences(sweep);
    return sweep;
}
