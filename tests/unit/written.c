/* Acts written as legs again: the text wanted, and the same acts from it. */
#include "unit/support.h"

#include "pattern/written.h"

#define FRAME                                                                                      \
    "frame f {\n"                                                                                  \
    "  sport squash; inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm\n"               \
    "  holes head M0..M3 C1 C2\n"                                                                  \
    "  holes throat M0..M3 C5 C4 C3\n"                                                             \
    "  tie-off 2H, 3H, 2T, 3T; tension 20..28 lb\n"                                                \
    "}\n"
#define ONE_PIECE FRAME "pattern p for f {\n  one piece; tension 25 lb; mains from head\n"
#define TWO_PIECES FRAME "pattern p for f {\n  two pieces; tension 25 lb; mains from head\n"

static struct bench_top *with_legs(const char *head, const char *legs) {
    char text[2000];
    snprintf(text, sizeof text, "%s%s}\n", head, legs);
    struct bench_top *top = compile_text(text);
    for (size_t i = 0; i < top->c.report.findings.count; i++)
        if (!first_pattern(top)->laid) print_message("%s\n", top->c.report.findings.at[i]->message);
    assert_true(first_pattern(top)->laid);
    return top;
}

static void same_acts(const struct pattern *one, const struct pattern *other) {
    assert_int_equal(one->acts.count, other->acts.count);
    for (size_t i = 0; i < one->acts.count; i++) {
        const struct act *a = &one->acts.at[i], *b = &other->acts.at[i];
        assert_int_equal(a->kind, b->kind);
        assert_int_equal(a->end, b->end);
        if (a->kind != ACT_THREAD && a->kind != ACT_PULL) continue;
        const struct pass *p = &one->ends[a->end].passes.at[a->pass];
        const struct pass *q = &other->ends[b->end].passes.at[b->pass];
        assert_int_equal(p->strand, q->strand);
        assert_int_equal(p->from_side, q->from_side);
        assert_int_equal(p->from_place, q->from_place);
        assert_int_equal(p->first, q->first);
    }
}

static void written_as(const char *head, const char *legs, const char *wanted) {
    struct bench_top *top = with_legs(head, legs);
    const struct pattern *pattern = first_pattern(top);
    struct output out = output_to(top->c.arena);
    write_legs(pattern, 0, pattern->acts.count, (struct leg_comments){"", ""}, &out);
    assert_string_equal(output_text(&out), wanted);
    struct bench_top *again = with_legs(head, output_text(&out));
    same_acts(pattern, first_pattern(again));
    put_away(again);
    put_away(top);
}

static void test_turns(void **state) {
    (void)state;
    written_as(ONE_PIECE, "mains from head, M1..M3 on each side, pull 2 ahead\n",
               "\nlong M1..M2\nshort M1..M3\nlong M3");
    written_as(ONE_PIECE, "mains from head, M1..M3 on each side, pull 2 ahead, thread 1 ahead\n",
               "\nlong thread M1..M2, pull M1, thread M3, pull M2\nshort M1..M3, thread 1 ahead"
               "\nlong pull M3");
    written_as(TWO_PIECES, "mains from head, M3..M1 on each side, pull 3 ahead, right first\n",
               "\nright M3..M1\nleft M3..M1");
}

static void test_threading_ahead(void **state) {
    (void)state;
    written_as(ONE_PIECE, "long M1..M3, C1..C5, thread 1 ahead\n",
               "\nlong M1..M3, C1..C5, thread 1 ahead");
    written_as(ONE_PIECE,
               "long M1..M3, thread 2 ahead\nlong C1\nlong C2..C5, thread 1 ahead, tie 2T\n",
               "\nlong M1..M3, thread 2 ahead\nlong C1\nlong C2..C5, thread 1 ahead, tie 2T");
    /* more ahead than there are strands */
    written_as(ONE_PIECE, "long M1..M2, thread 9 ahead\n", "\nlong M1..M2, thread 1 ahead");
    written_as(ONE_PIECE, "long thread M1..M2\nshort M1\nlong pull M1..M2, M3\n",
               "\nlong thread M1..M2\nshort M1\nlong pull M1..M2, thread M3, pull M3");
}

static void test_items(void **state) {
    (void)state;
    written_as(TWO_PIECES,
               "cross start right 3H clamp, C1 from left over first, C2, C4..C3, tie left 3T\n",
               "\ncross start right 3H clamp, C1..C2 from left over first, C4..C3, tie left 3T");
    written_as(TWO_PIECES, "cross start left 2T, C5, C4 from right under first\n",
               "\ncross start left 2T, C5, C4 from right under first");
    written_as(ONE_PIECE, "short M0 from throat, M1..M2, left M3, right M3\nlong M1, tie 2H\n",
               "\nshort M0 from throat, M1..M3, right M3\nlong M1, tie 2H");
    written_as(ONE_PIECE, "long M1, M3, M2, C1, C3, C5\n", "\nlong M1, M3..M2, C1, C3, C5");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_turns),
        cmocka_unit_test(test_threading_ahead),
        cmocka_unit_test(test_items),
    };
    return cmocka_run_group_tests_name("written", tests, NULL, NULL);
}
