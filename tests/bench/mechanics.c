/* How long the mechanics of a job take, and how often that goes into the time of the plainest way,
 * a full matrix eliminated anew for every event, measured in turn. No goal is a test. usage:
 * mechanics */
#define _GNU_SOURCE
#include "ground/limits.h"
#include "mechanics/even.h"
#include "mechanics/sweep.h"
#include "mechanics/values.h"
#include "unit/rackets.h"
#include "unit/textbook.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { ROUNDS = 101, WARM_UP = 5, MAINS = 14, CROSSES = 18 };

struct workbench {
    struct arena *arena;
    struct frame *frame;
    struct algebra algebra;
    struct supports mount;
    struct values values;
    struct grid grid;
    struct swept swept[MOST_SWEPT]; /* crosses from the head, from the throat */
    const struct compliance *compliance;
    int sets;
    double seen; /* so that nothing is left out by the compiler */
};

static double now(void) {
    struct timespec at;
    clock_gettime(CLOCK_MONOTONIC, &at);
    return (double)at.tv_sec * 1e3 + (double)at.tv_nsec * 1e-6;
}

static int by_value(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Milliseconds, the median of so many runs. */
static double time_of(struct workbench *w, void (*work)(struct workbench *w), int rounds) {
    double times[ROUNDS];
    for (int i = -WARM_UP; i < rounds; i++) {
        struct arena_mark mark = arena_mark(w->arena);
        double start = now();
        work(w);
        if (i >= 0) times[i] = now() - start;
        arena_rewind(w->arena, mark);
    }
    qsort(times, (size_t)rounds, sizeof *times, by_value);
    return times[rounds / 2];
}

static const struct compliance *solve_hoop(struct workbench *w) {
    const struct hoop *hoop = hoop_of(w->frame, &w->mount, 1, LONGEST_ELEMENT_MM, w->arena);
    return compliance_of(hoop, w->values.hoop, COMPLIANCE_MOMENTS, &w->algebra, w->arena);
}

static void one_job(struct workbench *w, const struct compliance *compliance,
                    enum report_form form) {
    struct machine machine = {compliance, w->values.string_axial, w->mount, &w->algebra};
    w->seen += do_job(&machine, w->swept[0].job, form, w->arena)->off_machine.width;
}

static void hoop_alone(struct workbench *w) { w->seen += solve_hoop(w)->matrix[0]; }

static void whole_job(struct workbench *w) { one_job(w, solve_hoop(w), REPORT_ENDS); }

static void job_in_full(struct workbench *w) { one_job(w, solve_hoop(w), REPORT_ALL); }

static void further_job(struct workbench *w) { one_job(w, w->compliance, REPORT_ENDS); }

static void sweep_jobs_of(struct workbench *w, int jobs) {
    const struct sweep *sweep =
        sweep_jobs(w->frame, &w->grid, w->swept, jobs, &w->algebra, w->arena);
    w->sets = sweep->sets;
    w->seen += sweep->figures[jobs - 1][0].most;
}

static void sweep_one(struct workbench *w) { sweep_jobs_of(w, 1); }

static void sweep_two(struct workbench *w) { sweep_jobs_of(w, 2); }

static void make_even(struct workbench *w) {
    struct machine machine = {w->compliance, w->values.string_axial, w->mount, &w->algebra};
    w->seen +=
        even_pulls(&machine, w->swept[0].job, (struct pull_limits){.step = 1}, w->arena)->exact[0];
}

static void load_library(struct workbench *w) {
    struct algebra algebra;
    w->seen += algebra_load(&algebra);
}

static void by_the_book(struct workbench *w) {
    const struct hoop *hoop = w->compliance->hoop;
    struct textbook t =
        textbook_open(hoop, w->values.hoop, w->values.string_axial, w->mount, w->arena);
    struct job job = w->swept[0].job;
    for (int i = 0; i <= job.count; i++)
        textbook_do(&t, i < job.count ? &job.events[i] : NULL);
    w->seen += t.shift[0];
}

static struct job order(struct workbench *w, bool from_head) {
    struct event *events = arena_many(w->arena, struct event, MAINS + CROSSES);
    for (int i = 0; i < MAINS; i++) {
        int strand = MAINS / 2 + (i % 2 == 0 ? i / 2 : -(i + 1) / 2);
        events[i] = (struct event){EVENT_PULL, strand, 116, NO_MOVE};
    }
    for (int i = 0; i < CROSSES; i++) {
        int strand = MAINS + (from_head ? i : CROSSES - 1 - i);
        events[MAINS + i] = (struct event){EVENT_PULL, strand, 116, NO_MOVE};
    }
    return (struct job){events, MAINS + CROSSES};
}

static void report(const char *what, double goal, double spent, double book) {
    printf("%-34s %8.3f ms", what, spent);
    if (goal > 0)
        printf("  (goal %4.0f)%s", goal, spent <= goal ? " " : "!");
    else
        printf("              ");
    if (book > 0) printf("  %.0f times as fast as by full matrices", book / spent);
    printf("\n");
}

int main(void) {
    struct workbench *w = calloc(1, sizeof *w);
    jmp_buf escape;
    if (w == NULL || (w->arena = arena_new(NULL, LIMIT_MEMORY)) == NULL || setjmp(escape) != 0)
        return 3;
    arena_set_escape(w->arena, &escape);
    double start = now();
    if (!algebra_load(&w->algebra)) return 1;
    double loaded = now() - start;
    w->frame = usual_racket(w->arena, MAINS, CROSSES);
    w->mount = supports_of(mount_of(MOUNT_SIX_POINT), ASSUMED_SUPPORT, w->arena);
    const double *axial = all_strings(w->arena, w->frame, stiffness_of(NULL, 1.2).newton);
    w->values = (struct values){USUAL_HOOP, axial, w->mount};
    w->grid = usual_grid((struct known_values){0});
    vary_hoop(&w->grid, w->values.hoop, w->arena);
    const struct supports *mounts = usual_mounts(w->mount, MOUNT_NOT_KNOWN, w->arena);
    for (int i = 0; i < MOST_SWEPT; i++)
        w->swept[i] = (struct swept){order(w, i == 0), axial, mounts};
    w->compliance = solve_hoop(w);
    printf("%d strands, a hoop of %d nodes, six supports; medians\n", w->frame->strand_count,
           w->compliance->hoop->node_count);
    double book = time_of(w, by_the_book, 3);
    report("by full matrices", 0, book, 0);
    report("loading LAPACK, the first time", 0, loaded, 0);
    report("loading LAPACK again", 0, time_of(w, load_library, ROUNDS), 0);
    report("the hoop's compliance", 0, time_of(w, hoop_alone, ROUNDS), 0);
    report("a job", 1, time_of(w, whole_job, ROUNDS), book);
    report("a job, all of every event", 0, time_of(w, job_in_full, ROUNDS), book);
    report("a further job on the same frame", 0, time_of(w, further_job, ROUNDS), book);
    report("even pulls", 0, time_of(w, make_even, 21), 0);
    double one = time_of(w, sweep_one, 11), two = time_of(w, sweep_two, 11);
    printf("sets of values: %d\n", w->sets);
    report("all sets, one job", 100, one, w->sets * book);
    report("all sets, two jobs", 100, two, 2 * w->sets * book);
    bool sound = isfinite(w->seen);
    arena_free(w->arena);
    free(w);
    return sound ? 0 : 1;
}
