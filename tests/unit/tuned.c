/* What is worked out from many jobs: even pulls, ranges over what is not known, and stiffness from
 * what it takes to squeeze a hoop. */
#include "unit/rackets.h"
#include "unit/support.h"

#include "mechanics/even.h"
#include "mechanics/squeeze.h"
#include "mechanics/sweep.h"

static struct algebra lapack(void) {
    struct algebra algebra;
    assert_true(algebra_load(&algebra));
    return algebra;
}

#define near(value, wanted, within) near_at(__LINE__, value, wanted, within)
static void near_at(int line, double value, double wanted, double within) {
    if (fabs(value - wanted) <= within) return;
    fail_msg("line %d: %.15g is not %.15g, off by %g", line, value, wanted, value - wanted);
}

/* Mains from the middle outwards, then crosses from the head or from the throat; mains at 120 N and
 * crosses at 110 N. */
static struct job usual_job(struct arena *arena, const struct frame *frame, bool from_head) {
    int mains = frame->main_count, crosses = frame->cross_count, count = 0;
    struct event *events = arena_many(arena, struct event, frame->strand_count + 4);
    for (int i = 0; i < mains; i++) {
        int strand = mains / 2 + (i % 2 == 0 ? i / 2 : -(i + 1) / 2);
        events[count++] = (struct event){EVENT_PULL, strand, 120, NO_MOVE};
    }
    for (int i = 0; i < crosses; i++) {
        int strand = mains + (from_head ? i : crosses - 1 - i);
        events[count++] = (struct event){EVENT_PULL, strand, 110, NO_MOVE};
        if (i == 2) events[count++] = (struct event){EVENT_DRAW_BACK, strand, 0.5, NO_MOVE};
        if (i == 4) events[count++] = (struct event){EVENT_PULL, strand, 110, NO_MOVE};
    }
    return (struct job){events, count};
}

struct tuner {
    struct frame *frame;
    struct algebra algebra;
    struct machine machine;
    struct job job;
};

static struct tuner *tuner(struct arena *arena) {
    struct tuner *t = arena_one(arena, struct tuner);
    t->frame = usual_racket(arena, 14, 16);
    t->algebra = lapack();
    struct supports mount = supports_of(mount_of(MOUNT_SIX_POINT), 2000, arena);
    const struct hoop *hoop = hoop_of(t->frame, &mount, 1, LONGEST_ELEMENT_MM, arena);
    const struct compliance *c =
        compliance_of(hoop, USUAL_HOOP, COMPLIANCE_MOMENTS, &t->algebra, arena);
    t->machine = (struct machine){c, all_strings(arena, t->frame, 5000), mount, &t->algebra};
    t->job = usual_job(arena, t->frame, true);
    return t;
}

/* The tensions a job leaves with other pulls, found by doing it. */
static const double *left_by(struct tuner *t, const double *pulls, struct arena *arena) {
    struct event *events = arena_many(arena, struct event, t->job.count);
    for (int i = 0; i < t->job.count; i++) {
        events[i] = t->job.events[i];
        if (events[i].kind == EVENT_PULL) events[i].amount = pulls[events[i].strand];
    }
    const struct outcome *o =
        do_job(&t->machine, (struct job){events, t->job.count}, REPORT_ENDS, arena);
    assert_true(o->sound);
    return o->off_machine.tensions;
}

static void test_even(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct tuner *t = tuner(arena);
    const struct even *even =
        even_pulls(&t->machine, t->job, (struct pull_limits){.step = 1}, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    assert_int_equal(even->limited, 0);
    assert_true(even->before.mains.deviation > 0.3 && even->before.crosses.deviation > 0.3);
    near(even->after.mains.deviation, 0, 1e-6);
    near(even->after.crosses.deviation, 0, 1e-6);
    /* the mean pull stays */
    near(evenness_of(t->frame, MAIN, even->exact, NULL).mean, 120, 1e-8);
    near(evenness_of(t->frame, CROSS, even->exact, NULL).mean, 110, 1e-8);
    const double *left = left_by(t, even->exact, arena);
    for (int i = 0; i < t->frame->strand_count; i++) {
        const struct evenness *of =
            t->frame->strands[i].kind == MAIN ? &even->after.mains : &even->after.crosses;
        near(left[i], of->mean, 1e-6);
        near(even->rounded[i], floor(even->rounded[i] + 0.5), 1e-9);
        near(even->rounded[i], even->exact[i], 0.5 + 1e-9);
    }
    struct evenness rounded = evenness_of(t->frame, MAIN, left_by(t, even->rounded, arena), NULL);
    near(even->after_rounding.mains.deviation, rounded.deviation, 1e-9);
    assert_true(rounded.deviation < 0.6);
    arena_free(arena);
}

static void test_even_within_limits(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct tuner *t = tuner(arena);
    struct pull_limits limits = {.step = 0.5, .least = 112.2, .most = 125.2};
    const struct even *even = even_pulls(&t->machine, t->job, limits, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    assert_true(even->limited > 0);
    for (int i = 0; i < t->frame->strand_count; i++)
        assert_true(even->rounded[i] >= 112.5 && even->rounded[i] <= 125);
    /* a strand that is not pulled is no part of it */
    t->job.count -= 3;
    even = even_pulls(&t->machine, t->job, (struct pull_limits){0}, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    assert_true(even->exact[t->frame->strand_count - 1] == 0);
    assert_int_equal(even->after.crosses.count, 13);
    near(even->after.crosses.deviation, 0, 1e-6);
    /* a strand that would be left slack is pulled harder */
    t->job.count += 3;
    struct event *events = arena_many(arena, struct event, t->job.count);
    memcpy(events, t->job.events, sizeof *events * (size_t)t->job.count);
    for (int i = 0; i < t->job.count; i++)
        if (events[i].kind == EVENT_DRAW_BACK) events[i].amount = 9;
    const struct outcome *o =
        do_job(&t->machine, (struct job){events, t->job.count}, REPORT_ENDS, arena);
    assert_int_equal(o->most_slack, 1);
    even =
        even_pulls(&t->machine, (struct job){events, t->job.count}, (struct pull_limits){0}, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    near(even->after.crosses.deviation, 0, 1e-6);
    /* nothing to pull, one kind only */
    t->job.count = 0;
    even = even_pulls(&t->machine, t->job, (struct pull_limits){0}, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    t->job.count = 14;
    even = even_pulls(&t->machine, t->job, (struct pull_limits){0}, arena);
    assert_int_equal(even->result, EVEN_FOUND);
    near(even->after.mains.deviation, 0, 1e-6);
    arena_free(arena);
}

/* ---- squeezing ---- */

static const struct hoop *bare(struct arena *arena) {
    return hoop_of(usual_racket(arena, 14, 16), NULL, 0, LONGEST_ELEMENT_MM, arena);
}

static void test_squeezed_ring(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct algebra algebra = lapack();
    struct frame *frame = bare_frame(arena, 200, 200, 2, 0);
    const struct hoop *hoop = hoop_of(frame, NULL, 0, 2, arena);
    struct squeezes got;
    struct hoop_stiffness stiffness = {70e6, 1e11, 1};
    assert_true(squeezes_of(hoop, stiffness, &algebra, arena, &got));
    /* W R^3 / EI times pi/4 - 2/pi (Roark, two opposed loads) */
    near(got.wide * 1e6 / 70e6 * 0.1487784, 1, 2e-4);
    near(got.lengthwise / got.wide, 1, 1e-5);
    stiffness = (struct hoop_stiffness){7e6, 1e11, 1};
    assert_int_equal(fit_squeezes(hoop, got, &stiffness, &algebra, arena), SQUEEZE_FITS);
    near(stiffness.bending / 70e6, 1, 1e-6);
    arena_free(arena);
}

static void test_squeezes(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct algebra algebra = lapack();
    const struct hoop *hoop = bare(arena);
    static const struct hoop_stiffness rows[] = {
        {70e6, 3e6, 2}, {35e6, 3e6, 1}, {200e6, 3e6, 4}, {140e6, 1e6, 0.5}, {50e6, 6e6, 12}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct squeezes got;
        assert_true(squeezes_of(hoop, rows[i], &algebra, arena, &got));
        assert_true(got.wide > 0 && got.lengthwise > 0);
        struct hoop_stiffness found = {70e6, rows[i].axial, rows[i].throat};
        double both = got.lengthwise;
        got.lengthwise = 0;
        assert_int_equal(fit_squeezes(hoop, got, &found, &algebra, arena), SQUEEZE_FITS);
        near(found.bending / rows[i].bending, 1, 1e-9);
        got.lengthwise = both;
        found = (struct hoop_stiffness){70e6, rows[i].axial, 2};
        assert_int_equal(fit_squeezes(hoop, got, &found, &algebra, arena), SQUEEZE_FITS);
        near(found.bending / rows[i].bending, 1, 1e-6);
        near(found.throat / rows[i].throat, 1, 1e-5);
        /* what came out takes what was measured */
        struct squeezes again;
        assert_true(squeezes_of(hoop, found, &algebra, arena, &again));
        near(again.wide / got.wide, 1, 1e-9);
        near(again.lengthwise / got.lengthwise, 1, 1e-9);
    }
    arena_free(arena);
}

static void test_squeezes_that_fit_nothing(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct algebra algebra = lapack();
    const struct hoop *hoop = bare(arena);
    struct hoop_stiffness stiffness = USUAL_HOOP;
    struct squeezes got;
    assert_true(squeezes_of(hoop, stiffness, &algebra, arena, &got));
    struct squeezes odd = {got.wide, got.lengthwise * 20};
    assert_int_equal(fit_squeezes(hoop, odd, &stiffness, &algebra, arena), SQUEEZE_NO_THROAT);
    odd = (struct squeezes){got.wide, got.lengthwise / 20};
    assert_int_equal(fit_squeezes(hoop, odd, &stiffness, &algebra, arena), SQUEEZE_NO_THROAT);
    odd = (struct squeezes){1e7, 0};
    assert_int_equal(fit_squeezes(hoop, odd, &stiffness, &algebra, arena), SQUEEZE_TOO_STIFF);
    assert_memory_equal(&stiffness, &USUAL_HOOP, sizeof stiffness);
    arena_free(arena);
}

/* ---- ranges ---- */

static void test_sweep(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct tuner *t = tuner(arena);
    struct job jobs[2] = {usual_job(arena, t->frame, true), usual_job(arena, t->frame, false)};
    struct grid grid = usual_grid((struct known_values){0});
    vary_hoop(&grid, USUAL_HOOP, arena);
    const struct supports *mounts = usual_mounts(t->machine.mount, MOUNT_NOT_KNOWN, arena);
    struct swept swept[2] = {{jobs[0], t->machine.string_axial, mounts},
                             {jobs[1], t->machine.string_axial, mounts}};
    const struct sweep *sweep = sweep_jobs(t->frame, &grid, swept, 2, &t->algebra, arena);
    assert_int_equal(sweep->sets, 144);
    assert_true(sweep->sound);
    /* the nominal set is the one job at the values as they are, but for a few nodes more */
    for (int j = 0; j < 2; j++) {
        const struct outcome *o = do_job(&t->machine, jobs[j], REPORT_ENDS, arena);
        struct evenness mains = evenness_of(t->frame, MAIN, o->off_machine.tensions, NULL);
        const struct range *figures = sweep->figures[j];
        near(figures[evenness_figure(MAIN, true, EVENNESS_MEAN)].nominal, mains.mean, 1e-8);
        near(figures[evenness_figure(MAIN, true, EVENNESS_DEVIATION)].nominal, mains.deviation,
             1e-8);
        near(figures[FIGURE_WIDEST].nominal, o->widest.value, 1e-9);
        near(figures[FIGURE_MOMENT_PEAK].nominal, fabs(o->moment.value), 1e-4);
        near(figures[FIGURE_LENGTH].nominal, o->off_machine.length, 1e-9);
        for (int i = 0; i < t->frame->strand_count; i++) {
            const struct range *off = &sweep->off_machine[j][i];
            near(off->nominal, o->off_machine.tensions[i], 1e-8);
            near(sweep->on_machine[j][i].nominal, o->on_machine.tensions[i], 1e-8);
            assert_true(off->least < off->nominal && off->nominal < off->most);
        }
    }
    for (int f = 0; f < FIGURES; f++) {
        const struct range *d = &sweep->difference[f];
        assert_true(d->least <= d->nominal && d->nominal <= d->most);
        near(d->nominal, sweep->figures[1][f].nominal - sweep->figures[0][f].nominal, 1e-9);
        if (sweep->differs[f]) assert_true(d->least > 0 || d->most < 0);
        const struct range *one = &sweep->figures[0][f], *other = &sweep->figures[1][f];
        if (one->least > 0 && other->least > 0)
            assert_int_equal(sweep->nearer[f], !sweep->differs[f] ? NO_JOB : d->least > 0 ? 0 : 1);
        if (one->most < 0 && other->most < 0)
            assert_int_equal(sweep->nearer[f], !sweep->differs[f] ? NO_JOB : d->least > 0 ? 1 : 0);
        for (int j = 0; j < 2; j++) {
            const struct range *r = &sweep->figures[j][f];
            assert_true(r->least <= r->nominal && r->nominal <= r->most);
        }
    }
    /* against itself a job differs in nothing */
    swept[1] = swept[0];
    sweep = sweep_jobs(t->frame, &grid, swept, 2, &t->algebra, arena);
    for (int f = 0; f < FIGURES; f++)
        assert_true(!sweep->differs[f] && sweep->difference[f].most == 0 &&
                    sweep->nearer[f] == NO_JOB);
    /* what is known is not varied */
    struct known_values known = {.hoop = true, .throat = true, .mount = MOUNT_PLACES_KNOWN};
    grid = usual_grid(known);
    grid.hoops = &USUAL_HOOP;
    grid.hoop_count = 1;
    grid.nominal_hoop = 0;
    swept[0].mounts = usual_mounts(t->machine.mount, MOUNT_PLACES_KNOWN, arena);
    sweep = sweep_jobs(t->frame, &grid, swept, 1, &t->algebra, arena);
    assert_int_equal(sweep->sets, 12);
    known.string = true;
    known.mount = MOUNT_KNOWN;
    grid = usual_grid(known);
    grid.hoops = &USUAL_HOOP;
    grid.hoop_count = 1;
    grid.nominal_hoop = 0;
    swept[0].mounts = usual_mounts(t->machine.mount, MOUNT_KNOWN, arena);
    sweep = sweep_jobs(t->frame, &grid, swept, 1, &t->algebra, arena);
    assert_int_equal(sweep->sets, 1);
    assert_true(sweep->figures[0][FIGURE_LENGTH].least == sweep->figures[0][FIGURE_LENGTH].most);
    arena_free(arena);
}

/* Each set is what a job by itself comes to. */
static void test_sweep_one_by_one(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct tuner *t = tuner(arena);
    static const double strings[] = {1, 2};
    static const struct hoop_stiffness hoops[] = {
        {35e6, 1.5e6, 2}, {70e6, 3e6, 2}, {30e6, 1.5e6, 3}, {60e6, 3e6, 3}};
    struct supports mounts[] = {t->machine.mount,
                                supports_of(mount_of(MOUNT_TWO_POINT), 2000, arena)};
    struct grid grid = {hoops, 4, 1, {strings, 2, 0}, 2, 0};
    struct swept swept = {t->job, t->machine.string_axial, mounts};
    const struct sweep *sweep = sweep_jobs(t->frame, &grid, &swept, 1, &t->algebra, arena);
    const struct hoop *hoop = hoop_of(t->frame, mounts, 2, LONGEST_ELEMENT_MM, arena);
    double least = INFINITY, most = 0;
    for (int set = 0; set < 16; set++) {
        const struct compliance *c =
            compliance_of(hoop, hoops[set & 3], COMPLIANCE_MOMENTS, &t->algebra, arena);
        struct machine machine = {c, all_strings(arena, t->frame, 5000 * strings[set >> 2 & 1]),
                                  mounts[set >> 3], &t->algebra};
        const struct outcome *o = do_job(&machine, t->job, REPORT_ENDS, arena);
        double mean = evenness_of(t->frame, CROSS, o->off_machine.tensions, NULL).mean;
        least = fmin(least, mean);
        most = fmax(most, mean);
    }
    near(sweep->figures[0][evenness_figure(CROSS, true, EVENNESS_MEAN)].least, least, 1e-9);
    near(sweep->figures[0][evenness_figure(CROSS, true, EVENNESS_MEAN)].most, most, 1e-9);
    arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_even),
        cmocka_unit_test(test_even_within_limits),
        cmocka_unit_test(test_squeezed_ring),
        cmocka_unit_test(test_squeezes),
        cmocka_unit_test(test_squeezes_that_fit_nothing),
        cmocka_unit_test(test_sweep),
        cmocka_unit_test(test_sweep_one_by_one),
    };
    return cmocka_run_group_tests_name("tuned", tests, NULL, NULL);
}
