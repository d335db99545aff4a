/* Outlines against closed forms and published figures. */
#include "unit/support.h"

#include <math.h>

static struct outline oval(double width, double length, double exponent) {
    return (struct outline){.kind = OVAL, .width = width, .length = length, .exponent = exponent};
}

/* Perimeter of an ellipse, 4 a E(e2), by the complete elliptic integral to 30 digits. */
static void test_ellipse_perimeter(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        double a, b, perimeter;
    } rows[] = {{2, 1, 9.68844822054768},
                {10, 5, 48.4422411027384},
                {170, 125, 932.169012000668},
                {140, 110, 788.228150688509},
                {146, 108, 802.435834767141}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outline outline = oval(2 * rows[i].b, 2 * rows[i].a, 2);
        outline_measure(&outline, arena);
        assert_true(fabs(2 * outline.half_arc - rows[i].perimeter) < 1e-9 * rows[i].perimeter);
        double area = 3.14159265358979323846 * rows[i].a * rows[i].b;
        assert_true(fabs(outline.area - area) < 1e-9 * area);
    }
    arena_free(arena);
}

/* Superellipse: area 4ab G(1+1/n)^2/G(1+2/n) (Lame), perimeter by quadrature of its polar form. */
static void test_superellipse(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        double exponent, area, perimeter;
    } rows[] = {{2, 3.14159265359, 6.283185307},
                {2.2, 3.25140870392, 6.39784461},
                {2.5, 3.38093536254, 6.546704723},
                {3, 3.53327750057, 6.74499314},
                {4, 3.70814935460, 7.017697944}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct outline outline = oval(2, 2, rows[i].exponent);
        outline_measure(&outline, arena);
        double n = rows[i].exponent, gamma = tgamma(1 + 1 / n);
        assert_true(fabs(4 * gamma * gamma / tgamma(1 + 2 / n) - rows[i].area) < 1e-10);
        assert_true(fabs(outline.area - rows[i].area) < 1e-7);
        assert_true(fabs(2 * outline.half_arc - rows[i].perimeter) < 5e-8);
        /* stretched, the area grows with both axes */
        struct outline racket = oval(186, 325, n);
        outline_measure(&racket, arena);
        assert_true(fabs(racket.area - rows[i].area * 93 * 162.5) < 1e-3);
    }
    arena_free(arena);
}

/* Taper takes 1/b times the integral of t ((y-b)/b)^2 x 2 half width off the lower half; for the
 * ellipse that is t a b pi/8: the integral of 2 a s^2 sqrt(1-s^2) over s from 0 to 1 is a pi/8. */
static void test_tapered_area(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct outline outline = oval(200, 320, 2);
    outline.taper = 0.18;
    outline_measure(&outline, arena);
    double pi = 3.14159265358979323846;
    assert_true(fabs(outline.area - (pi * 100 * 160 - 0.18 * 100 * 160 * pi / 8)) < 1e-4);
    arena_free(arena);
}

/* Chords of holes at equal angles on a circle add up to 2 R cot(pi / (2 (n + 1))). */
static void test_sum_of_chords(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct outline outline = oval(200, 200, 2);
    outline_measure(&outline, arena);
    static const struct {
        int count;
        double sum;
    } rows[] = {{2, 346.410161514},  {3, 482.842712475},  {14, 1902.87289084},
                {16, 2158.34373145}, {18, 2413.64105590}, {19, 2541.24094723}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double sum = 0;
        for (int k = 1; k <= rows[i].count; k++)
            sum += 2 * outline_at(&outline, outline.half_arc * k / (rows[i].count + 1), NULL).x;
        assert_true(fabs(sum - rows[i].sum) < 1e-4);
    }
    arena_free(arena);
}

/* Walking along the curve in small steps must take as long as the arc says, and the normal must
 * stand across the way. */
static void walk(const struct outline *outline) {
    enum { STEPS = 20000 };
    double walked = 0;
    struct point before = outline_at(outline, 0, NULL);
    for (int i = 1; i <= STEPS; i++) {
        double arc = outline->half_arc * i / STEPS, step = outline->half_arc / STEPS;
        struct point outward, at = outline_at(outline, arc, NULL);
        outline_at(outline, arc - step / 2, &outward); /* the chord's own direction */
        double dx = at.x - before.x, dy = at.y - before.y;
        walked += hypot(dx, dy);
        assert_true(fabs(walked - arc) < 0.02); /* the language asks for 0.1 mm */
        assert_true(fabs(hypot(outward.x, outward.y) - 1) < 1e-9);
        assert_true(fabs(dx * outward.x + dy * outward.y) < 0.03 * hypot(dx, dy));
        assert_true(at.x >= -1e-9);
        before = at;
    }
    assert_true(fabs(before.x) < 1e-6 && fabs(before.y - outline->length) < 1e-6);
}

static struct station teal[] = {{62, 22},  {100, 70}, {116, 130}, {108, 200},
                                {78, 280}, {44, 340}, {22, 380}};

static void test_walks(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const double exponents[] = {1.5, 2, 2.2, 3, 4};
    for (size_t i = 0; i < sizeof exponents / sizeof *exponents; i++) {
        struct outline outline = oval(186, 325, exponents[i]);
        outline.taper = 0.3;
        outline_measure(&outline, arena);
        walk(&outline);
    }
    struct outline stations = {
        .kind = STATIONS, .width = 232, .length = 400, .stations = teal, .station_count = 7};
    outline_measure(&stations, arena);
    walk(&stations);
    arena_free(arena);
}

/* The curve passes its stations, its square rises and falls with them and never beyond. */
static void test_stations(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct outline outline = {
        .kind = STATIONS, .width = 232, .length = 400, .stations = teal, .station_count = 7};
    outline_measure(&outline, arena);
    double nearest[7] = {1e9, 1e9, 1e9, 1e9, 1e9, 1e9, 1e9}, widest = 0;
    for (int i = 0; i <= 100000; i++) {
        struct point at = outline_at(&outline, outline.half_arc * i / 100000, NULL);
        if (at.x > widest) widest = at.x;
        for (int k = 0; k < 7; k++)
            nearest[k] = fmin(nearest[k], hypot(at.x - teal[k].half_width, at.y - teal[k].y));
    }
    for (int k = 0; k < 7; k++)
        assert_true(nearest[k] < 0.01);
    assert_true(widest < 116 + 1e-6);
    /* one station of a circle's square half widths, 2 R y - y^2, on its axis: an oval of its own,
     * round at both ends: the curve leaves the head square to the centre line */
    struct point outward;
    outline_at(&outline, 0, &outward);
    assert_true(fabs(outward.x) < 1e-6 && fabs(outward.y + 1) < 1e-6);
    arena_free(arena);
}

/* An ellipse with half axes a along and b across is curved to a radius of b^2/a at the ends of a
 * and of a^2/b at those of b (from memory; worked out from its parametric form). */
static void test_ellipse_curvature(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        double a, b;
    } rows[] = {{162.5, 93}, {170, 125}, {140, 110}, {100, 100}, {165, 75}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double a = rows[i].a, b = rows[i].b;
        struct outline outline = oval(2 * b, 2 * a, 2);
        outline_measure(&outline, arena);
        double half = outline.half_arc;
        assert_true(fabs(outline_curvature(&outline, 0) * b * b / a - 1) < 1e-6);
        assert_true(fabs(outline_curvature(&outline, half) * b * b / a - 1) < 1e-6);
        assert_true(fabs(outline_curvature(&outline, half / 2) * a * a / b - 1) < 1e-6);
        assert_true(fabs(outline.least_radius - b * b / a) < 1e-6 * b);
    }
    arena_free(arena);
}

/* Curvature is how fast the normal turns along the way, for every kind of outline. */
static void turn(const struct outline *outline, double from, double to) {
    for (int i = 1; i < 400; i++) {
        double arc = outline->half_arc * (from + (to - from) * i / 400), step = 1e-3;
        struct point before, behind;
        outline_at(outline, arc - step, &before);
        outline_at(outline, arc + step, &behind);
        double turned = before.x * behind.y - before.y * behind.x;
        double curvature = turned / (2 * step);
        assert_true(fabs(curvature - outline_curvature(outline, arc)) < 1e-4);
    }
}

static void test_curvature_turns(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const double exponents[] = {2, 2.2, 2.6, 3, 4};
    for (size_t i = 0; i < sizeof exponents / sizeof *exponents; i++) {
        struct outline outline = oval(186, 325, exponents[i]);
        outline_measure(&outline, arena);
        turn(&outline, 0.02, 0.48);
        turn(&outline, 0.52, 0.98);
        double least = outline.least_radius, found = 1e9;
        for (int k = 1; k < 4000; k++)
            found = fmin(found, 1 / outline_curvature(&outline, outline.half_arc / 2 * k / 4000));
        assert_true(fabs(least - found) < 0.01 * found);
    }
    struct outline stations = {
        .kind = STATIONS, .width = 232, .length = 400, .stations = teal, .station_count = 7};
    outline_measure(&stations, arena);
    turn(&stations, 0.12, 0.13); /* within a span: where two meet the curvature jumps */
    turn(&stations, 0.02, 0.04);
    struct outline pointed = oval(186, 325, 1.5);
    outline_measure(&pointed, arena);
    assert_true(pointed.least_radius < 20);
    arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ellipse_perimeter),
        cmocka_unit_test(test_superellipse),
        cmocka_unit_test(test_tapered_area),
        cmocka_unit_test(test_sum_of_chords),
        cmocka_unit_test(test_walks),
        cmocka_unit_test(test_stations),
        cmocka_unit_test(test_ellipse_curvature),
        cmocka_unit_test(test_curvature_turns),
    };
    return cmocka_run_group_tests_name("outline", tests, NULL, NULL);
}
