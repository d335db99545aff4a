/* The hoop alone, against closed forms. Formulas and figures of rings: Roark's Formulas for Stress
 * and Strain, table 9.2 (7th edition; number from memory), and Timoshenko, Strength of Materials.
 */
#include "unit/rackets.h"
#include "unit/support.h"

static struct algebra lapack(void) {
    struct algebra algebra;
    assert_true(algebra_load(&algebra));
    return algebra;
}

static const struct compliance *solved(const struct hoop *hoop, struct hoop_stiffness stiffness,
                                       struct arena *arena) {
    struct algebra algebra = lapack();
    const struct compliance *c =
        compliance_of(hoop, stiffness, COMPLIANCE_MOMENTS | COMPLIANCE_SHIFTS, &algebra, arena);
    assert_non_null(c);
    return c;
}

static const double BENDING = 70e6, RADIUS = 400;

/* A circle with so many nodes, and supports outside at so many even places of the clock from 12. */
static const struct hoop *ring(struct arena *arena, double radius, int nodes, int loads) {
    struct frame *frame = bare_frame(arena, 2 * radius, 2 * radius, 2, 0);
    for (int i = 0; i < nodes; i++)
        add_hole(frame, 2 * frame->outline.half_arc * i / nodes);
    struct support *supports = arena_many(arena, struct support, loads + 1);
    for (int i = 0; i < loads; i++)
        supports[i] = (struct support){12.0 * i / loads, SUPPORT_OUTSIDE, 1000};
    struct supports mount = {supports, loads};
    const struct hoop *hoop = hoop_of(frame, &mount, 1, 1000, arena);
    assert_int_equal(hoop->node_count, nodes);
    return hoop;
}

#define near(value, wanted, within) near_at(__LINE__, value, wanted, within)
static void near_at(int line, double value, double wanted, double within) {
    if (fabs(value - wanted) <= within) return;
    fail_msg("line %d: %.15g is not %.15g, off by %g", line, value, wanted, value - wanted);
}

/* Two opposed loads: changes of both diameters and the moments, with the error of an n-cornered
 * ring, 8.2 / n^2 in both (from trying). E A large enough to play no part. */
static void test_two_loads(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    double unit = RADIUS * RADIUS * RADIUS / BENDING;
    for (int n = 24; n <= 384; n *= 2) {
        const struct hoop *hoop = ring(arena, RADIUS, n, 0);
        double alpha = 1e-8; /* E I / (E A R^2) */
        struct hoop_stiffness stiffness = {BENDING, BENDING / (alpha * RADIUS * RADIUS), 1};
        const struct compliance *c = solved(hoop, stiffness, arena);
        double load = gives(c, GAUGE_LENGTH, GAUGE_LENGTH) / unit;
        double side = -gives(c, GAUGE_WIDTH, GAUGE_LENGTH) / unit;
        double error = 1 - load / 0.1487784, other = 1 - side / 0.1366198;
        near(error * n * n, 8.2, 0.2);
        near(other * n * n, 8.2, 0.2);
        const double *moments = c->moments + GAUGE_LENGTH * n;
        near(moments[0] / RADIUS, -0.3183099, 4.0 / n / n + 1e-6);
        near(moments[n / 2] / RADIUS, -0.3183099, 4.0 / n / n + 1e-6);
        near(moments[n / 4] / RADIUS, 0.1816901, 4.0 / n / n + 1e-6);
    }
    arena_free(arena);
}

/* With stretching: uncoupled energies of E I and E A (derived; agrees with the limit above). */
static void test_two_loads_with_stretch(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    double pi = RACKET_PI, unit = RADIUS * RADIUS * RADIUS / BENDING;
    static const double alphas[] = {1e-4, 1e-3, 1e-2};
    const int n = 1440;
    const struct hoop *hoop = ring(arena, RADIUS, n, 0);
    for (int i = 0; i < 3; i++) {
        double alpha = alphas[i];
        struct hoop_stiffness stiffness = {BENDING, BENDING / (alpha * RADIUS * RADIUS), 1};
        const struct compliance *c = solved(hoop, stiffness, arena);
        near(gives(c, GAUGE_LENGTH, GAUGE_LENGTH) / unit, pi / 4 - 2 / pi + alpha * pi / 4, 1e-6);
        near(-gives(c, GAUGE_WIDTH, GAUGE_LENGTH) / unit, 2 / pi - 0.5 - alpha / 2, 1e-6);
    }
    arena_free(arena);
}

/* In mm: R 100, section 10 by 5 mm with 5 across the wall, 70 GPa, 250 N. */
static void test_worked_numbers(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    const int n = 480;
    const struct hoop *hoop = ring(arena, 100, n, 0);
    double bending = 70e3 * 10 * 125 / 12;
    const struct compliance *c = solved(hoop, (struct hoop_stiffness){bending, 1e12, 1}, arena);
    near(-250 * gives(c, GAUGE_LENGTH, GAUGE_LENGTH), -5.10097, 2e-4);
    near(-250 * gives(c, GAUGE_WIDTH, GAUGE_LENGTH), 4.68411, 3e-4);
    near(-250 * c->moments[GAUGE_LENGTH * n], 7957.75, 0.2);
    arena_free(arena);
}

/* N loads of 1 N inwards, evenly round: moments over WR, forces along the hoop over W, moves over
 * WR^3/EI, at a load and midway (Roark, case 7; Timoshenko). */
static void test_many_loads(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        int loads;
        double moment, moment_mid, force, force_mid, in, out;
    } rows[] = {{2, 0.31830989, 0.18169011, 0, 0.5, 0.074389196, 0.068309886},
                {3, 0.18878969, 0.09988544, 0.28867513, 0.57735027, 0.015938588, 0.014256769},
                {4, 0.13661977, 0.070487009, 0.5, 0.70710678, 0.0060793093, 0.0053861981},
                {6, 0.088904255, 0.045070341, 0.8660254, 1.0, 0.0016818189, 0.0014798175},
                {8, 0.066132764, 0.03332342, 1.2071068, 1.306563, 0.00069311119, 0.00060838004},
                {12, 0.043833913, 0.021992335, 1.8660254, 1.9318517, 0.00020200145, 0.00017699844},
                {16, 0.032809343, 0.016436358, 2.5136697, 2.5629154, 8.4731156e-5, 7.4198088e-5}};
    const int n = 480;
    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
        int loads = rows[r].loads;
        const struct hoop *hoop = ring(arena, RADIUS, n, loads);
        double axial = 1e8; /* times what it takes to bend: no part of it */
        struct hoop_stiffness stiffness = {BENDING, axial * BENDING / (RADIUS * RADIUS), 1};
        const struct compliance *c = solved(hoop, stiffness, arena);
        double unit = RADIUS * RADIUS * RADIUS / BENDING;
        double at_load = 0, at_mid = 0, in = 0, in_mid = 0, force = 0, force_mid = 0;
        int mid = n / (2 * loads);
        for (int i = 0; i < loads; i++) {
            int load = c->first_bearing + i;
            const double *moments = c->moments + load * n, *shifts = c->shifts + load * n * 3;
            at_load += moments[0] / RADIUS;
            at_mid += moments[mid] / RADIUS;
            in += shifts[1] / unit; /* the head moves down */
            struct point at = hoop->nodes[mid];
            double x = at.x / RADIUS, y = (at.y - RADIUS) / RADIUS;
            in_mid -= (shifts[3 * mid] * x + shifts[3 * mid + 1] * y) / unit;
            for (int k = 0; k < 2; k++) { /* in the element at the load, and midway */
                int from = k == 0 ? 0 : mid, to = from + 1;
                double ex = hoop->nodes[to].x - hoop->nodes[from].x;
                double ey = hoop->nodes[to].y - hoop->nodes[from].y, length = hypot(ex, ey);
                double stretch = (ex * (shifts[3 * to] - shifts[3 * from]) +
                                  ey * (shifts[3 * to + 1] - shifts[3 * from + 1])) /
                                 length;
                *(k == 0 ? &force : &force_mid) -= stiffness.axial * stretch / length;
            }
        }
        /* An element at a load has half its angle of the other force, W/2. */
        double half = RACKET_PI / n;
        near(at_load, -rows[r].moment, 4e-5);
        near(at_mid, rows[r].moment_mid, 4e-5);
        near(force, rows[r].force * cos(half) + 0.5 * sin(half), 1e-5);
        near(force_mid, rows[r].force_mid * cos(half), 1e-4);
        near(in / rows[r].in, 1, 2e-4 + 1e-8 * loads / rows[r].in);
        near(in_mid / -rows[r].out, 1, 2e-4 + 1e-8 * loads / rows[r].out);
    }
    arena_free(arena);
}

/* Loads the same all the way round: no moments, and shorter by q R^2 / EA (Code_Aster, validation
 * V3.01.112, for the forces). By an n-cornered ring of n loads q 2 pi R / n. */
static void test_load_all_round(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    const int n = 240;
    const struct hoop *hoop = ring(arena, RADIUS, n, n);
    struct hoop_stiffness stiffness = {BENDING, 3e6, 1};
    const struct compliance *c = solved(hoop, stiffness, arena);
    double narrower = 0, each = 2 * RACKET_PI * RADIUS / n, most = 0;
    for (int i = 0; i < n; i++)
        narrower += each * gives(c, GAUGE_WIDTH, c->first_bearing + i);
    for (int k = 0; k < n; k++) {
        double moment = 0;
        for (int i = 0; i < n; i++)
            moment += each * c->moments[(c->first_bearing + i) * n + k];
        if (fabs(moment) > most) most = fabs(moment);
    }
    near(narrower / (2 * RADIUS * RADIUS / 3e6), 1, RACKET_PI * RACKET_PI / n / n);
    near(most, 0, 0.06); /* N mm of some 10^4: the corners are stiff, and E A is finite */
    arena_free(arena);
}

/* An ellipse whose crosses pull w per mm of its length and whose mains pull w b^2/a^2 per mm of its
 * width has no moments, and with no other ratio (the line of pressure; derived). With as many
 * corners as holes that holds for single strands. */
static double moment_of_ellipse(struct arena *arena, double ratio) {
    enum { CORNERS = 48 };
    double a = 125, b = 170;
    struct frame *frame = bare_frame(arena, 2 * a, 2 * b, 2, 0);
    double half = frame->outline.half_arc;
    for (int k = 0; k < CORNERS; k++) {
        int steps = k <= CORNERS / 2 ? k : CORNERS - k;
        double y = b - b * cos(2 * RACKET_PI * steps / CORNERS);
        double arc = steps == 0             ? 0
                     : steps == CORNERS / 2 ? half
                                            : arc_where(frame, true, y, 0, half);
        add_hole(frame, k <= CORNERS / 2 ? arc : 2 * half - arc);
    }
    for (int k = 1; k < CORNERS / 2; k++) /* across at the same y */
        add_strand(frame, CROSS, CORNERS - k, k);
    for (int k = -CORNERS / 4 + 1; k < CORNERS / 4; k++) /* along at the same x */
        add_strand(frame, MAIN, (k + CORNERS) % CORNERS, CORNERS / 2 - k);
    const struct hoop *hoop = hoop_of(frame, NULL, 0, 1000, arena);
    assert_int_equal(hoop->node_count, CORNERS);
    const struct compliance *c = solved(hoop, (struct hoop_stiffness){BENDING, 1e11, 1}, arena);
    double largest = 0;
    for (int node = 0; node < CORNERS; node++) {
        double moment = 0;
        for (int i = 0; i < frame->strand_count; i++) {
            int k =
                frame->strands[i].kind == CROSS ? i + 1 : i - (CORNERS / 2 - 1) - CORNERS / 4 + 1;
            double angle = 2 * RACKET_PI * k / CORNERS;
            /* per corner: a sin and b cos of the angle times the same number */
            double pull = frame->strands[i].kind == CROSS ? a * sin(angle) : b * cos(angle) * ratio;
            moment += pull * c->moments[i * CORNERS + node];
        }
        if (fabs(moment) > largest) largest = fabs(moment);
    }
    return largest;
}

static void test_ellipse_without_moments(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    double none = moment_of_ellipse(arena, 1),
           equal = moment_of_ellipse(arena, 125.0 * 125 / 170 / 170);
    near(none / equal, 0, 1e-5);
    assert_true(moment_of_ellipse(arena, 1.01) / equal > 1e-3);
    arena_free(arena);
}

/* An ellipse with 1 N at both tips, EI = 1 (Castigliano, by quadrature to 30 digits; derived). */
static void test_ellipse(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        double a, b, load, side, moment_side, moment_load;
    } rows[] = {{1, 1.3, 0.165260491602, 0.202813485246, 0.167846489492, 0.332153510508},
                {0.125, 0.17, 3.28789223172e-4, 4.24126537431e-4, 0.020689916112, 0.041810083888}};
    for (int r = 0; r < 2; r++) {
        double scale = 100 / rows[r].a; /* to mm */
        struct frame *frame = bare_frame(arena, 200, 2 * rows[r].b * scale, 2, 0);
        double errors[2];
        for (int fine = 0; fine < 2; fine++) {
            const struct hoop *hoop = hoop_of(frame, NULL, 0, fine ? 2 : 4, arena);
            const struct compliance *c =
                solved(hoop, (struct hoop_stiffness){BENDING, 1e11, 1}, arena);
            double unit = scale * scale * scale / BENDING, within = fine ? 1e-4 : 4e-4;
            double load = gives(c, GAUGE_LENGTH, GAUGE_LENGTH) / unit;
            near(load / rows[r].load, 1, within);
            near(-gives(c, GAUGE_WIDTH, GAUGE_LENGTH) / unit / rows[r].side, 1, within);
            const double *moments = c->moments + GAUGE_LENGTH * hoop->node_count;
            int side = hoop->lines[GAUGE_WIDTH].nodes[1];
            near(moments[side] / scale / rows[r].moment_side, 1, 3 * within);
            near(-moments[0] / scale / rows[r].moment_load, 1, 3 * within);
            errors[fine] = (load / rows[r].load - 1) * pow(hoop->node_count, 2);
        }
        near(errors[0] / errors[1], 1, 0.02);
    }
    arena_free(arena);
}

/* Maxwell and Betti: what one load does at another, that one does here (any textbook). */
static void test_reciprocity(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    for (uint64_t seed = 1; seed <= 20; seed++) {
        struct frame *frame = wild_racket(arena, seed, 20, 0);
        struct supports mount = supports_of(mount_of(MOUNT_SIX_POINT), 2000, arena);
        const struct hoop *hoop = hoop_of(frame, &mount, 1, LONGEST_ELEMENT_MM, arena);
        const struct compliance *c = solved(hoop, USUAL_HOOP, arena);
        double largest = 0;
        for (int i = 0; i < c->load_count; i++)
            largest = fmax(largest, gives(c, i, i));
        for (int i = 0; i < c->load_count; i++) {
            assert_true(gives(c, i, i) > 0);
            for (int k = 0; k < i; k++)
                near(gives(c, i, k), gives(c, k, i), 1e-9 * largest);
        }
    }
    arena_free(arena);
}

/* Elements alone (any handbook): exact at their ends. */
static void test_beams(void **state) {
    (void)state;
    /* a beam of two elements of 30 mm, lying at some angle; a third closes the ring of nodes */
    double angle = 0.7, l = 30, c = cos(angle), s = sin(angle);
    struct point nodes[3] = {{5, 7}, {5 + l * c, 7 + l * s}, {5 + 2 * l * c, 7 + 2 * l * s}};
    bool throat[3] = {false, false, false};
    struct hoop hoop = {.node_count = 3, .nodes = nodes, .throat = throat};
    struct hoop_stiffness stiffness = {BENDING, 3e6, 1};
    double first[6][6], second[6][6];
    element_stiffness(&hoop, stiffness, 0, first);
    element_stiffness(&hoop, stiffness, 1, second);
    /* held at both ends, across in the middle: 192 EI / L^3 with L twice l; along: 2 EA / l */
    double across = 0, along = 0, turn[2] = {0, 0};
    double cross[2] = {-s, c}, way[2] = {c, s};
    for (int a = 0; a < 2; a++) {
        for (int b = 0; b < 2; b++) {
            double k = first[3 + a][3 + b] + second[a][b];
            across += cross[a] * k * cross[b];
            along += way[a] * k * way[b];
        }
        turn[0] += cross[a] * first[3 + a][5];
        turn[1] += cross[a] * second[a][2];
    }
    near(across / (192 * BENDING / pow(2 * l, 3)), 1, 1e-12);
    near(along / (2 * 3e6 / l), 1, 1e-12);
    near((turn[0] + turn[1]) / turn[0], 0, 1e-9);
    /* held at one end, across at the other, turning freely: 3 EI / l^3 */
    double shear = across / 2, turning = first[5][5];
    near((shear - turn[0] * turn[0] / turning) / (3 * BENDING / pow(l, 3)), 1, 1e-12);
    /* on two props, across in the middle: half of it holds the half beam turned round, 48 EI / L^3
     */
    near(2 * (shear - turn[0] * turn[0] / turning) / (48 * BENDING / pow(2 * l, 3)), 1, 1e-12);
}

/* Holes near one another are one node; no element is too long; the throat runs from the last
 * cross's hole round to the other. */
static void test_nodes(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct frame *frame = usual_racket(arena, 6, 5);
    double whole = 2 * frame->outline.half_arc;
    int near_head = add_hole(frame, 0.4), before_head = add_hole(frame, whole - 0.4);
    int last = add_hole(frame, frame->holes[2].arc + 0.9);
    struct supports mount = supports_of(mount_of(MOUNT_SIX_POINT), 2000, arena);
    const struct hoop *hoop = hoop_of(frame, &mount, 1, LONGEST_ELEMENT_MM, arena);
    assert_int_equal(hoop->hole_nodes[near_head], hoop->hole_nodes[before_head]);
    assert_int_equal(hoop->hole_nodes[near_head], hoop->bearings[0].node);
    assert_int_equal(hoop->hole_nodes[last], hoop->hole_nodes[2]);
    assert_int_equal(hoop->bearing_count, 6);
    for (int i = 0; i < hoop->node_count; i++) {
        double to = i + 1 < hoop->node_count ? hoop->arcs[i + 1] : hoop->arcs[0] + whole;
        assert_true(to - hoop->arcs[i] <= LONGEST_ELEMENT_MM + 1e-9);
        assert_true(to - hoop->arcs[i] >= SAME_NODE_MM / 2);
        double middle = (to + hoop->arcs[i]) / 2, from = frame->holes[frame->hole_count - 4].arc;
        bool throat = middle > from && middle < whole - from;
        assert_int_equal(hoop->throat[i], throat);
    }
    /* 2 o'clock: 30 degrees above the line to the right; pushed inwards */
    const struct bearing *two = &hoop->bearings[hoop_bearing(hoop, &mount.at[2])];
    struct point at = hoop->nodes[two->node];
    near(atan2(frame->outline.length / 2 - at.y, at.x), RACKET_PI / 6, 1e-9);
    assert_true(two->push.x < 0 && two->push.y > 0);
    arena_free(arena);
}

static void test_what_cannot_be_solved(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct algebra algebra = lapack();
    const struct hoop *hoop = ring(arena, RADIUS, 24, 0);
    static const struct hoop_stiffness bad[] = {
        {0, 1e6, 1}, {1e6, -1, 1}, {1e6, 1e6, 0}, {INFINITY, 1e6, 1}, {NAN, 1, 1}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_null(compliance_of(hoop, bad[i], 0, &algebra, arena));
    arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_loads),
        cmocka_unit_test(test_two_loads_with_stretch),
        cmocka_unit_test(test_worked_numbers),
        cmocka_unit_test(test_many_loads),
        cmocka_unit_test(test_load_all_round),
        cmocka_unit_test(test_ellipse_without_moments),
        cmocka_unit_test(test_ellipse),
        cmocka_unit_test(test_reciprocity),
        cmocka_unit_test(test_beams),
        cmocka_unit_test(test_nodes),
        cmocka_unit_test(test_what_cannot_be_solved),
    };
    return cmocka_run_group_tests_name("hoop", tests, NULL, NULL);
}
