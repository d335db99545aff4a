/* The plan and its replay. */
#include "unit/support.h"

#include "bench/plan.h"

static const char two_pieces[] = "pattern try for small {\n"
                                 "  two pieces; tension 25 lb\n"
                                 "  mains from head, M1..M3 on each side, pull 3 ahead then 2\n"
                                 "  left tie 2T; right tie 2T\n"
                                 "  cross start right 3H clamp, C1..C4, thread 1 ahead, tie 3T\n"
                                 "}\n";
/* The short end waits through four crosses, so it must be handed from a starting to a fixed clamp.
 */
static const char waits[] = "pattern try for small {\n"
                            "  one piece; tension 25 lb\n"
                            "  mains from head, M1..M3 on each side, pull 3 ahead then 2\n"
                            "  long C4..C1, thread 1 ahead, tie 3H\n"
                            "  short tie 2T\n"
                            "}\n";

static const char *const jobs[] = {SMALL_PATTERN, two_pieces, waits};
enum { JOBS = 3 };

static struct bench_top *job(int number) {
    char text[1500];
    snprintf(text, sizeof text, "%s%s", SMALL_FRAME, jobs[number]);
    return compile_clean(text);
}

static struct pattern *open_pattern(struct bench_top *top) { return top->c.patterns.at[0].pattern; }

static const char *replay(struct bench_top *top) {
    return replay_moves(open_pattern(top), top->c.arena);
}

static void test_plans_pass(void **state) {
    (void)state;
    for (int i = 0; i < JOBS; i++) {
        struct bench_top *top = job(i);
        assert_true(open_pattern(top)->planned);
        assert_null(replay(top));
        put_away(top);
    }
}

/* No move can be left out: the replay misses it. */
static void test_replay_misses_every_move(void **state) {
    (void)state;
    for (int i = 0; i < JOBS; i++) {
        struct bench_top *top = job(i);
        struct pattern *pattern = open_pattern(top);
        size_t count = pattern->moves.count;
        struct move kept[200];
        assert_true(count < 200);
        memcpy(kept, pattern->moves.at, count * sizeof *kept);
        for (size_t out = 0; out < count; out++) {
            memcpy(pattern->moves.at, kept, out * sizeof *kept);
            memcpy(pattern->moves.at + out, kept + out + 1, (count - out - 1) * sizeof *kept);
            pattern->moves.count = count - 1;
            if (replay(top) == NULL) fail_msg("job %d: move %zu is not missed", i, out + 1);
        }
        put_away(top);
    }
}

/* No move can be done twice in a row. */
static void test_replay_refuses_repeats(void **state) {
    (void)state;
    for (int i = 0; i < JOBS; i++) {
        struct bench_top *top = job(i);
        struct pattern *pattern = open_pattern(top);
        size_t count = pattern->moves.count;
        struct move kept[200];
        memcpy(kept, pattern->moves.at, count * sizeof *kept);
        struct move *longer = arena_many(top->c.arena, struct move, count + 1);
        pattern->moves.at = longer;
        pattern->moves.count = count + 1;
        for (size_t again = 0; again < count; again++) {
            if (kept[again].kind == MOVE_REPULL) continue; /* pulling once more does no harm */
            memcpy(longer, kept, (again + 1) * sizeof *kept);
            memcpy(longer + again + 1, kept + again, (count - again) * sizeof *kept);
            if (replay(top) == NULL) fail_msg("job %d: move %zu may be repeated", i, again + 1);
        }
        put_away(top);
    }
}

/* Moves with something else in them. */
static void test_replay_refuses_wrong_moves(void **state) {
    (void)state;
    for (int i = 0; i < JOBS; i++) {
        struct bench_top *top = job(i);
        struct pattern *pattern = open_pattern(top);
        for (size_t k = 0; k < pattern->moves.count; k++) {
            struct move *move = &pattern->moves.at[k], kept = *move;
            move->strand = (move->strand + 1) % pattern->frame->strand_count;
            bool starts =
                kept.kind == MOVE_TIE && kept.at_start; /* a start knot is about no strand */
            if (!starts && move->kind != MOVE_TIE) assert_non_null(replay(top));
            *move = kept;
            if (move->kind == MOVE_CLAMP) {
                move->clamp_number = pattern->bench->clamps[move->clamp] + 1;
                assert_non_null(replay(top));
                *move = kept;
                move->clamp = move->clamp == CLAMP_FIXED ? CLAMP_STARTING : CLAMP_FIXED;
                assert_non_null(replay(top));
                *move = kept;
            }
            if (move->kind == MOVE_THREAD || move->kind == MOVE_WEAVE) {
                move->enter = kept.leave;
                move->leave = kept.enter;
                assert_non_null(replay(top));
                *move = kept;
            }
            if (move->kind == MOVE_TIE) {
                move->hole = hole_of_id(pattern->frame, "R1H"); /* no room for a knot */
                assert_non_null(replay(top));
                *move = kept;
            }
            assert_null(replay(top));
        }
        put_away(top);
    }
}

static int count_moves(const struct pattern *pattern, enum move_kind kind, enum clamp_kind clamp) {
    int count = 0;
    for (size_t i = 0; i < pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        count += move->kind == kind && (kind != MOVE_CLAMP || move->clamp == clamp);
    }
    return count;
}

/* Two fixed clamps do for an ordinary pattern, and no strand is pulled twice for want of a clamp.
 */
static void test_two_clamps_suffice(void **state) {
    (void)state;
    struct bench_top *top = job(0);
    const struct pattern *pattern = open_pattern(top);
    assert_int_equal(pattern->clamps[CLAMP_FIXED].used, 2);
    assert_int_equal(pattern->clamps[CLAMP_STARTING].used, 0);
    assert_int_equal(count_moves(pattern, MOVE_REPULL, CLAMP_FIXED), 0);
    put_away(top);
}

/* An end that waits beside crosses being woven waits on a starting clamp, outside the hoop, and is
 * pulled once more for its knot; without one it waits on a fixed clamp, and that is said. */
static void test_starting_clamp_is_preferred(void **state) {
    (void)state;
    struct bench_top *top = job(2);
    const struct pattern *pattern = open_pattern(top);
    assert_int_equal(count_moves(pattern, MOVE_CLAMP, CLAMP_STARTING), 1);
    assert_int_equal(count_moves(pattern, MOVE_REPULL, CLAMP_FIXED), 1);
    assert_int_equal(found(top, RULE_clamp_in_the_way), 0);
    put_away(top);
    char text[1500];
    snprintf(text, sizeof text, "bench b { clamps 2 fixed }\n%s%s", SMALL_FRAME, waits);
    char *at = strstr(text, "tension 25 lb");
    memcpy(at, "bench b      ", 13);
    top = compile_text(text);
    assert_int_equal(found(top, RULE_clamp_in_the_way), 1);
    assert_int_equal(top->c.report.counts[SEVERITY_ERROR], 0);
    assert_int_equal(count_moves(open_pattern(top), MOVE_REPULL, CLAMP_FIXED), 0);
    put_away(top);
}

/* Where clamps run out it is said how many would do, and so many do. */
static void test_clamps_short(void **state) {
    (void)state;
    static const char bench[] =
        "bench b { clamps %d fixed, %d starting }\n" SMALL_FRAME
        "pattern p for small { two pieces; bench b; tension 25 lb, last pulls +1 lb\n"
        " mains from head, M1..M3 on each side\n"
        " cross start right 3H, C1..C4, tie 3T\n left tie 2T; right tie 2T }";
    static const struct {
        int fixed, starting;
        bool enough;
    } rows[] = {{0, 0, false}, {1, 0, false}, {1, 2, true},
                {2, 0, false}, {2, 1, true},  {3, 0, true}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[1500];
        snprintf(text, sizeof text, bench, rows[i].fixed, rows[i].starting);
        struct bench_top *top = compile_text(text);
        assert_int_equal(found(top, RULE_clamps_short), rows[i].enough ? 0 : 1);
        assert_int_equal(open_pattern(top)->moves.count > 0, rows[i].enough);
        if (i == 3) /* two fixed and no starting */
            assert_non_null(strstr(top->c.report.findings.at[0]->help,
                                   "3 fixed and 0 starting, or 2 fixed and 1 starting"));
        put_away(top);
    }
}

/* A start on a clamp: anchored before the first pull, pulled again, tied, and off before the end.
 */
static void test_start_by_clamp(void **state) {
    (void)state;
    struct bench_top *top = job(1);
    const struct pattern *pattern = open_pattern(top);
    int anchored = -1, first_pull = -1, again = -1, tied = -1, last = -1;
    for (int i = 0; i < (int)pattern->moves.count; i++) {
        const struct move *move = &pattern->moves.at[i];
        if (pattern->ends[move->end].name != END_CROSS) continue;
        if (move->kind == MOVE_CLAMP && move->at_start && move->clamp == CLAMP_STARTING)
            anchored = i;
        if (move->kind == MOVE_PULL && first_pull < 0) first_pull = i;
        if (move->kind == MOVE_REPULL && move->at_start) again = i;
        if (move->kind == MOVE_TIE && move->at_start) tied = i;
        if (move->kind == MOVE_TIE && !move->at_start) last = i;
    }
    assert_true(0 <= anchored && anchored < first_pull && first_pull < again && again < tied &&
                tied < last);
    put_away(top);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plans_pass),
        cmocka_unit_test(test_replay_misses_every_move),
        cmocka_unit_test(test_replay_refuses_repeats),
        cmocka_unit_test(test_replay_refuses_wrong_moves),
        cmocka_unit_test(test_two_clamps_suffice),
        cmocka_unit_test(test_starting_clamp_is_preferred),
        cmocka_unit_test(test_clamps_short),
        cmocka_unit_test(test_start_by_clamp),
    };
    return cmocka_run_group_tests_name("bench", tests, NULL, NULL);
}
