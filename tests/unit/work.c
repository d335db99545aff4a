/* The work of a job, counted, and its time at a pace that is given or assumed. */
#include "unit/support.h"

static const struct work *work_of(struct bench_top *top) { return &first_pattern(top)->work; }

static void test_counts(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    const struct pattern *pattern = first_pattern(top);
    const struct work *work = work_of(top);
    int repulls = 0, clamps = 0;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        enum move_kind kind = pattern->moves.at[i].kind;
        repulls += kind == MOVE_REPULL;
        clamps += kind == MOVE_CLAMP || kind == MOVE_RELEASE;
    }
    assert_int_equal(work->count[PACE_MOUNT], 1);
    assert_int_equal(work->count[PACE_THREAD], 6);
    assert_int_equal(work->count[PACE_WEAVE], 4);
    assert_int_equal(work->count[PACE_PULL], 10 + repulls);
    assert_int_equal(work->count[PACE_CLAMP], clamps);
    assert_true(clamps > 0 && clamps % 2 == 0);
    assert_int_equal(work->count[PACE_TIE], 2);
    /* Both first mains are threaded, the long end pulls two, the short end three, the long end its
     * third; the short end ties, the long end goes on. */
    assert_int_equal(work->count[PACE_CHANGE], 6);
    put_away(top);
}

static void test_pace(void **state) {
    (void)state;
    static const struct {
        const char *pace;
        enum pace kind;
        double seconds;
    } rows[] = {{"mount", PACE_MOUNT, 100}, {"thread", PACE_THREAD, 1}, {"weave", PACE_WEAVE, 10},
                {"pull", PACE_PULL, 2.5},   {"clamp", PACE_CLAMP, 4},   {"tie", PACE_TIE, 30},
                {"change", PACE_CHANGE, 7}};
    static const double assumed[PACES] = ASSUMED_PACE;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[2000], pace[64];
        snprintf(pace, sizeof pace, "%s %.1f s", rows[i].pace, rows[i].seconds);
        snprintf(text, sizeof text,
                 SMALL_FRAME
                 "bench b { clamps 2 fixed, 1 starting; pace %s }\n"
                 "pattern p for small { one piece; bench b; tension 25 lb, last pulls +1 lb\n"
                 "  mains from head, M1..M3 on each side, pull 2 ahead\n"
                 "  short tie 2T\n  long C4..C1, tie 3H }\n",
                 pace);
        struct bench_top *top = compile_clean(text);
        const struct work *work = work_of(top);
        double expected = 0;
        for (int kind = 0; kind < PACES; kind++)
            expected +=
                work->count[kind] * (kind == (int)rows[i].kind ? rows[i].seconds : assumed[kind]);
        assert_true(work->time > expected - 1e-9 && work->time < expected + 1e-9);
        size_t others = 0;
        snprintf(pace, sizeof pace, "bench.pace.%s", rows[i].pace);
        for (size_t k = 0; k < first_pattern(top)->assumed.count; k++) {
            const char *what = first_pattern(top)->assumed.at[k].what;
            assert_string_not_equal(what, "bench.pace");
            assert_string_not_equal(what, pace);
            others += strncmp(what, "bench.pace.", 11) == 0;
        }
        assert_int_equal(others, PACES - 1);
        put_away(top);
    }
}

static void test_pace_is_assumed(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME SMALL_PATTERN);
    int said = 0;
    for (size_t k = 0; k < first_pattern(top)->assumed.count; k++)
        said += strcmp(first_pattern(top)->assumed.at[k].what, "bench.pace") == 0;
    assert_int_equal(said, 1);
    put_away(top);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counts),
        cmocka_unit_test(test_pace),
        cmocka_unit_test(test_pace_is_assumed),
    };
    return cmocka_run_group_tests_name("work", tests, NULL, NULL);
}
