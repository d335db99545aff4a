/* Hole map and places. */
#include "unit/support.h"

#include <math.h>

static const struct frame *first_frame(const struct bench_top *top) {
    return top->c.library.entries.at[0].frame;
}

static void near(double value, double expected, double tolerance) {
    if (!(fabs(value - expected) < tolerance))
        fail_msg("%f is not within %f of %f", value, tolerance, expected);
}

static void test_ring_and_strands(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME);
    const struct frame *frame = first_frame(top);
    static const char *const ring[] = {"R1H", "R2H", "R3H", "R4H", "R5H", "R5T", "R4T",
                                       "R3T", "R2T", "R1T", "L1T", "L2T", "L3T", "L4T",
                                       "L5T", "L5H", "L4H", "L3H", "L2H", "L1H"};
    assert_int_equal(frame->hole_count, 20);
    for (int i = 0; i < 20; i++)
        assert_string_equal(frame->holes[i].id, ring[i]);
    static const char *const strands[] = {"LM3", "LM2", "LM1", "RM1", "RM2",
                                          "RM3", "C1",  "C2",  "C3",  "C4"};
    assert_int_equal(frame->strand_count, 10);
    for (int i = 0; i < 10; i++) {
        assert_string_equal(frame->strands[i].id, strands[i]);
        assert_int_equal(frame->strands[i].index, i < 6 ? i : i - 6);
    }
    const struct strand *c3 = &frame->strands[strand_of_id(frame, "C3")];
    assert_string_equal(frame->holes[c3->holes[0]].id, "L5T");
    assert_string_equal(frame->holes[c3->holes[1]].id, "R5T");
    const struct strand *m2 = &frame->strands[strand_of_id(frame, "LM2")];
    assert_string_equal(frame->holes[m2->holes[0]].id, "L2H");
    assert_string_equal(frame->holes[m2->holes[1]].id, "L2T");
    put_away(top);
}

/* Without a tape ten holes a side stand evenly, half a step from the centre lines. */
static void test_even_places(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(SMALL_FRAME);
    const struct frame *frame = first_frame(top);
    double half = frame->outline.half_arc;
    for (int i = 0; i < 10; i++) {
        near(frame->holes[i].arc, half * (i + 0.5) / 10, 1e-6);
        near(frame->holes[19 - i].arc, 2 * half - half * (i + 0.5) / 10, 1e-6);
        near(frame->holes[19 - i].at.x, -frame->holes[i].at.x, 1e-9);
        near(frame->holes[19 - i].at.y, frame->holes[i].at.y, 1e-9);
        double x = frame->holes[i].at.x / 93, y = (frame->holes[i].at.y - 162.5) / 162.5;
        near(x * x + y * y, 1, 1e-9); /* on the ellipse */
    }
    const struct strand *c2 = &frame->strands[strand_of_id(frame, "C2")];
    near(c2->length, 2 * frame->holes[hole_of_id(frame, "R5H")].at.x, 1e-9);
    put_away(top);
}

static void test_tape(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(
        "frame f { inside 186 mm wide, 325 mm long; outline ellipse\n"
        "  holes head M0..M3 C1; holes throat M0..M3 C2; tie-off 2H, 2T\n"
        "  tape 0H at 0 mm, 2H at 60 mm, left 3H at 100 mm, 1T at 30 mm, 0T at 0 mm }");
    const struct frame *frame = first_frame(top);
    double whole = 2 * frame->outline.half_arc;
    near(frame->holes[hole_of_id(frame, "0H")].arc, 0, 1e-9);
    near(frame->holes[hole_of_id(frame, "R1H")].arc, 30, 1e-6); /* half way to 2H */
    near(frame->holes[hole_of_id(frame, "R2H")].arc, 60, 1e-6);
    near(frame->holes[hole_of_id(frame, "L2H")].arc, whole - 60, 1e-6);
    near(frame->holes[hole_of_id(frame, "L3H")].arc, whole - 100, 1e-6);
    near(frame->holes[hole_of_id(frame, "0T")].arc, whole / 2, 1e-6);
    near(frame->holes[hole_of_id(frame, "R1T")].arc, whole / 2 - 30, 1e-6);
    /* between 2H at 60 and 1T: 3H 4H 4T 3T 2T, evenly */
    near(frame->holes[hole_of_id(frame, "R3H")].arc, 60 + (whole / 2 - 30 - 60) / 6, 1e-6);
    put_away(top);
}

static void test_sides_that_differ(void **state) {
    (void)state;
    struct bench_top *top =
        compile_clean("frame f { inside 186 mm wide, 325 mm long; outline ellipse\n"
                      "  holes right head M1 - M2 C1 C2; holes head M1 M2 C1 C2\n"
                      "  holes throat M1 M2 C3; tie-off right 3H, left 2H, 2T }");
    const struct frame *frame = first_frame(top);
    assert_int_equal(frame->holes[hole_of_id(frame, "R2H")].strand_count, 0);
    const struct strand *c1 = &frame->strands[strand_of_id(frame, "C1")];
    assert_string_equal(frame->holes[c1->holes[0]].id, "L3H");
    assert_string_equal(frame->holes[c1->holes[1]].id, "R4H");
    assert_true(frame->holes[hole_of_id(frame, "R3H")].tie_off);
    assert_false(frame->holes[hole_of_id(frame, "L3H")].tie_off);
    put_away(top);
}

/* A main and a cross cross where their four holes alternate; where they share one they do not. */
static void test_real_crossings(void **state) {
    (void)state;
    struct bench_top *top =
        compile_clean("frame f { inside 186 mm wide, 325 mm long; outline ellipse\n"
                      "  holes head M1 M2+C1 C2; holes throat M1 C3 M2; tie-off 1H, 1T }");
    const struct frame *frame = first_frame(top);
    int m1 = strand_of_id(frame, "RM1"), m2 = strand_of_id(frame, "RM2");
    int c1 = strand_of_id(frame, "C1"), c2 = strand_of_id(frame, "C2"),
        c3 = strand_of_id(frame, "C3");
    assert_true(strands_cross(frame, m1, c1) && strands_cross(frame, m1, c3));
    assert_false(strands_cross(frame, m2, c1)); /* they share 2H */
    assert_true(strands_cross(frame, m2, c2));
    assert_false(strands_cross(frame, m2, c3)); /* M2 ends above C3, at 3T */
    put_away(top);
}

static int brute_alternate(int a, int b, int c, int d, int count) {
    if (a == b || a == c || a == d || b == c || b == d || c == d) return 0;
    int inside = 0;
    for (int at = (a + 1) % count; at != b; at = (at + 1) % count)
        inside += at == c || at == d;
    return inside == 1;
}

static void test_alternation(void **state) {
    (void)state;
    for (int a = 0; a < 7; a++)
        for (int b = 0; b < 7; b++)
            for (int c = 0; c < 7; c++)
                for (int d = 0; d < 7; d++)
                    assert_int_equal(holes_alternate(a, b, c, d), brute_alternate(a, b, c, d, 7));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ring_and_strands),
        cmocka_unit_test(test_even_places),
        cmocka_unit_test(test_tape),
        cmocka_unit_test(test_sides_that_differ),
        cmocka_unit_test(test_real_crossings),
        cmocka_unit_test(test_alternation),
    };
    return cmocka_run_group_tests_name("frame", tests, NULL, NULL);
}
