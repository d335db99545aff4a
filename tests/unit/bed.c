/* The strung bed as a whole, against closed forms. */
#include "unit/support.h"

#include "frame/bed.h"

#include <math.h>

static const double PI = 3.14159265358979323846;

enum { MOST = 96 };

/* A frame that is no more than its holes, all of them used. */
struct ring {
    struct frame frame;
    struct hole holes[MOST];
    struct strand strands[MOST];
};

static void add_hole(struct ring *ring, double x, double y) {
    ring->holes[ring->frame.hole_count++] = (struct hole){.strand_count = 1, .at = {x, y}};
    ring->frame.holes = ring->holes;
}

static void add_strand(struct ring *ring, enum kind kind, double ax, double ay, double bx,
                       double by) {
    int first = ring->frame.hole_count;
    add_hole(ring, ax, ay);
    add_hole(ring, bx, by);
    ring->strands[ring->frame.strand_count++] = (struct strand){
        .kind = kind, .holes = {first, first + 1}, .length = hypot(bx - ax, by - ay)};
    ring->frame.strands = ring->strands;
    if (kind == MAIN) ring->frame.main_count++;
}

/* A regular polygon of n corners on a circle: (n/2) R^2 sin(2 pi / n) (from memory); at equal
 * eccentric angles of an ellipse, which is a circle drawn out: (n/2) a b sin(2 pi / n). */
static void test_area(void **state) {
    (void)state;
    static const int counts[] = {3, 4, 5, 12, 61, 96};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        for (int shape = 0; shape < 2; shape++) {
            struct ring ring = {0};
            double a = 100, b = shape == 0 ? 100 : 160;
            int n = counts[i];
            for (int k = 0; k < n; k++)
                add_hole(&ring, a * sin(2 * PI * k / n), b - b * cos(2 * PI * k / n));
            double expected = n / 2.0 * a * b * sin(2 * PI / n);
            assert_true(fabs(bed_area(&ring.frame) - expected) < 1e-9 * expected);
            ring.holes[0].strand_count = 0; /* a hole nothing passes bounds no string */
            double less = bed_area(&ring.frame);
            assert_true(less < expected);
            assert_true(n == 3 ? less < 1e-9 : less > 0);
        }
}

static void test_extent(void **state) {
    (void)state;
    struct ring ring = {0};
    struct extent none = bed_extent(&ring.frame);
    assert_true(none.left == 0 && none.throat == 0 && bed_area(&ring.frame) == 0);
    /* a square of 200 mm, and a throat that narrows from 200 mm to 40 mm over another 100 mm */
    add_hole(&ring, 100, 10);
    add_hole(&ring, 100, 210);
    add_hole(&ring, 20, 310);
    add_hole(&ring, -20, 310);
    add_hole(&ring, -100, 210);
    add_hole(&ring, -100, 10);
    struct extent extent = bed_extent(&ring.frame);
    assert_true(extent.left == -100 && extent.right == 100);
    assert_true(extent.head == 10 && extent.throat == 310);
    assert_true(fabs(bed_area(&ring.frame) - (200 * 200 + 120 * 100)) < 1e-9);
    assert_true(fabs(bed_width_beyond(&ring.frame, 100) - 200) < 1e-9);
    assert_true(fabs(bed_width_beyond(&ring.frame, 260) - 120) < 1e-9);
    assert_true(fabs(bed_width_beyond(&ring.frame, 300) - 56) < 1e-9);
    assert_true(bed_width_beyond(&ring.frame, 310) == 0);
    ring.holes[1].strand_count = ring.holes[4].strand_count = 0;
    assert_true(fabs(bed_width_beyond(&ring.frame, 160) - 120) < 1e-9);
}

static void test_longest(void **state) {
    (void)state;
    struct ring ring = {0};
    assert_int_equal(longest_strand(&ring.frame), NO_STRAND);
    add_strand(&ring, MAIN, -10, 5, -10, 300);
    add_strand(&ring, MAIN, 10, 0, 10, 310);
    add_strand(&ring, CROSS, -90, 100, 90, 100);
    assert_int_equal(longest_strand(&ring.frame), 1);
}

/* Nine mains: outer thirds of 10 mm each, a middle third as asked for; fanned, they are measured on
 * the middle line. */
static void test_thirds(void **state) {
    (void)state;
    for (int fan = 0; fan < 2; fan++) {
        struct ring ring = {0};
        static const double gaps[] = {10, 10, 10, 12, 9, 12, 9.5, 10, 10.5};
        double x = -46.5;
        for (int i = 0; i <= 9; i++) {
            add_strand(&ring, MAIN, x * (fan ? 1.5 : 1), 0, x * (fan ? 0.5 : 1), 300);
            x += gaps[i % 9];
        }
        double mean[3];
        assert_false(bed_thirds(&ring.frame, CROSS, mean));
        assert_true(bed_thirds(&ring.frame, MAIN, mean));
        assert_true(fabs(mean[0] - 10) < 1e-9 && fabs(mean[1] - 11) < 1e-9);
        assert_true(fabs(mean[2] - 10) < 1e-9);
    }
    struct ring few = {0};
    for (int i = 0; i < 6; i++)
        add_strand(&few, MAIN, 10 * i, 0, 10 * i, 300);
    double mean[3];
    assert_false(bed_thirds(&few.frame, MAIN, mean));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_area),
        cmocka_unit_test(test_extent),
        cmocka_unit_test(test_longest),
        cmocka_unit_test(test_thirds),
    };
    return cmocka_run_group_tests_name("bed", tests, NULL, NULL);
}
