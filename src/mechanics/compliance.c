/* One node of the free ring is held; the rest is a chain, whose stiffness is a band. Loads that
 * hold each other in balance take no notice of what is held; from others the part that moves the
 * ring as a whole is taken off first, and off all displacements afterwards. */
#include "mechanics/compliance.h"

#include <math.h>
#include <string.h>

enum { ENDS = 2 * FREEDOMS, HALF_BAND = 5 };

struct element {
    double length, cosine, sine, bending, axial;
};

static struct element element_at(const struct hoop *hoop, struct hoop_stiffness stiffness, int i) {
    struct point a = hoop->nodes[i], b = hoop->nodes[(i + 1) % hoop->node_count];
    double length = hypot(b.x - a.x, b.y - a.y), factor = hoop->throat[i] ? stiffness.throat : 1;
    return (struct element){length, (b.x - a.x) / length, (b.y - a.y) / length,
                            stiffness.bending * factor, stiffness.axial * factor};
}

void element_stiffness(const struct hoop *hoop, struct hoop_stiffness stiffness, int element,
                       double matrix[ENDS][ENDS]) {
    struct element e = element_at(hoop, stiffness, element);
    double l = e.length, c = e.cosine, s = e.sine;
    double stretch = e.axial / l, shear = 12 * e.bending / (l * l * l);
    double lever = 6 * e.bending / (l * l), turn = 2 * e.bending / l;
    double xx = stretch * c * c + shear * s * s, xy = (stretch - shear) * c * s;
    double yy = stretch * s * s + shear * c * c, xt = -lever * s, yt = lever * c;
    double rows[ENDS][ENDS] = {
        {xx, xy, xt, -xx, -xy, xt},         {xy, yy, yt, -xy, -yy, yt},
        {xt, yt, 2 * turn, -xt, -yt, turn}, {-xx, -xy, -xt, xx, xy, -xt},
        {-xy, -yy, -yt, xy, yy, -yt},       {xt, yt, turn, -xt, -yt, 2 * turn}};
    memcpy(matrix, rows, sizeof rows);
}

/* ---- the chain ---- */

/* The first node is held, so the second has the first three rows. */
static int row_of(int node, int freedom) { return (node - 1) * FREEDOMS + freedom; }

static double *chain_band(const struct hoop *hoop, struct hoop_stiffness stiffness,
                          struct arena *arena) {
    int rows = row_of(hoop->node_count, 0);
    double *band = arena_many(arena, double, rows *(HALF_BAND + 1));
    for (int i = 0; i < hoop->node_count; i++) {
        double k[ENDS][ENDS];
        element_stiffness(hoop, stiffness, i, k);
        int nodes[2] = {i, (i + 1) % hoop->node_count};
        for (int a = 0; a < ENDS; a++)
            for (int b = 0; b < ENDS; b++) {
                int from = nodes[a / FREEDOMS], to = nodes[b / FREEDOMS];
                if (from == 0 || to == 0) continue;
                int row = row_of(from, a % FREEDOMS), column = row_of(to, b % FREEDOMS);
                if (row >= column) band[column * (HALF_BAND + 1) + row - column] += k[a][b];
            }
    }
    return band;
}

/* ---- loads ---- */

/* A load as forces on two nodes; a bearing has one. */
struct pair {
    int nodes[2];
    struct point forces[2];
    int count;
};

static struct pair pair_of(const struct hoop *hoop, int load) {
    if (load < hoop->line_count) {
        const struct hoop_line *line = &hoop->lines[load];
        return (struct pair){
            {line->nodes[0], line->nodes[1]}, {line->along, {-line->along.x, -line->along.y}}, 2};
    }
    const struct bearing *bearing = &hoop->bearings[load - hoop->line_count];
    return (struct pair){{bearing->node, 0}, {bearing->push, {0, 0}}, 1};
}

/* The three motions of the whole at a freedom of a node: along x, along y, turning round the
 * middle. They are at right angles to one another. */
static void motions_at(const struct hoop *hoop, int node, int freedom, double at[RIGID_MOTIONS]) {
    struct point from = {hoop->nodes[node].x - hoop->middle.x,
                         hoop->nodes[node].y - hoop->middle.y};
    at[0] = freedom == 0;
    at[1] = freedom == 1;
    at[2] = freedom == 0 ? -from.y : freedom == 1 ? from.x : 1;
}

static void motion_sizes(const struct hoop *hoop, double sizes[RIGID_MOTIONS]) {
    memset(sizes, 0, sizeof(double) * RIGID_MOTIONS);
    for (int i = 0; i < hoop->node_count; i++)
        for (int f = 0; f < FREEDOMS; f++) {
            double at[RIGID_MOTIONS];
            motions_at(hoop, i, f, at);
            for (int m = 0; m < RIGID_MOTIONS; m++)
                sizes[m] += at[m] * at[m];
        }
}

/* All columns of a matrix of `count` to a row, less what of them is a motion of the whole. The
 * held node's rows are not there: they are nought. */
struct projection {
    const struct hoop *hoop;
    double sizes[RIGID_MOTIONS];
    double *parts; /* RIGID_MOTIONS rows */
    size_t count;
};

static void measure_motion(struct projection *p, const double *rows) {
    memset(p->parts, 0, sizeof(double) * RIGID_MOTIONS * p->count);
    for (int i = 1; i < p->hoop->node_count; i++)
        for (int f = 0; f < FREEDOMS; f++) {
            double at[RIGID_MOTIONS];
            motions_at(p->hoop, i, f, at);
            for (int m = 0; m < RIGID_MOTIONS; m++)
                if (at[m] != 0)
                    add_times(p->parts + (size_t)m * p->count, at[m] / p->sizes[m],
                              rows + (size_t)row_of(i, f) * p->count, p->count);
        }
}

static void take_motion_off(const struct projection *p, int node, int freedom, double *row) {
    double at[RIGID_MOTIONS];
    motions_at(p->hoop, node, freedom, at);
    for (int m = 0; m < RIGID_MOTIONS; m++)
        if (at[m] != 0) add_times(row, -at[m], p->parts + (size_t)m * p->count, p->count);
}

static void put_loads(const struct hoop *hoop, const struct projection *p, double *rows) {
    for (int load = 0; load < (int)p->count; load++) {
        struct pair pair = pair_of(hoop, load);
        for (int k = 0; k < pair.count; k++) {
            if (pair.nodes[k] == 0) continue;
            rows[(size_t)row_of(pair.nodes[k], 0) * p->count + (size_t)load] += pair.forces[k].x;
            rows[(size_t)row_of(pair.nodes[k], 1) * p->count + (size_t)load] += pair.forces[k].y;
        }
    }
}

/* A push alone moves the ring: it is balanced by forces on all nodes. */
static void balance_pushes(const struct compliance *c, const struct projection *p, double *rows) {
    const struct hoop *hoop = c->hoop;
    for (int b = 0; b < hoop->bearing_count; b++)
        for (int i = 1; i < hoop->node_count; i++)
            for (int f = 0; f < FREEDOMS; f++) {
                double at[RIGID_MOTIONS], balance = 0;
                motions_at(hoop, i, f, at);
                for (int m = 0; m < RIGID_MOTIONS; m++)
                    balance += at[m] * c->rigid[b * RIGID_MOTIONS + m] / p->sizes[m];
                rows[(size_t)row_of(i, f) * p->count + (size_t)(c->first_bearing + b)] -= balance;
            }
}

static void fill_rigid(struct compliance *c) {
    for (int b = 0; b < c->hoop->bearing_count; b++) {
        const struct bearing *bearing = &c->hoop->bearings[b];
        double x[RIGID_MOTIONS], y[RIGID_MOTIONS];
        motions_at(c->hoop, bearing->node, 0, x);
        motions_at(c->hoop, bearing->node, 1, y);
        for (int m = 0; m < RIGID_MOTIONS; m++)
            c->rigid[b * RIGID_MOTIONS + m] = bearing->push.x * x[m] + bearing->push.y * y[m];
    }
}

/* ---- what comes of them ---- */

static void fill_matrix(struct compliance *c, const double *rows) {
    size_t count = (size_t)c->load_count;
    for (int load = 0; load < c->load_count; load++) {
        struct pair pair = pair_of(c->hoop, load);
        double *at = c->matrix + (size_t)load * count;
        for (int k = 0; k < pair.count; k++) {
            const double *x = rows + (size_t)(pair.nodes[k] * FREEDOMS) * count;
            add_times(at, pair.forces[k].x, x, count);
            add_times(at, pair.forces[k].y, x + count, count);
        }
    }
}

/* The curvature at the start of an element, by the cubic that it bends to, times E I. */
static void fill_moments(struct compliance *c, const double *rows, double *of_node) {
    size_t count = (size_t)c->load_count, nodes = (size_t)c->hoop->node_count;
    for (size_t i = 0; i < nodes; i++) {
        struct element e = element_at(c->hoop, c->stiffness, (int)i);
        const double *a = rows + i * FREEDOMS * count;
        const double *b = rows + (i + 1) % nodes * FREEDOMS * count;
        double sway = 6 * e.bending / (e.length * e.length), turn = 2 * e.bending / e.length;
        for (size_t k = 0; k < count; k++) {
            double x = b[k] - a[k], y = b[count + k] - a[count + k];
            of_node[k] = sway * (e.cosine * y - e.sine * x) -
                         turn * (2 * a[2 * count + k] + b[2 * count + k]);
        }
        for (size_t k = 0; k < count; k++)
            c->moments[k * nodes + i] = of_node[k];
    }
}

static void fill_shifts(struct compliance *c, const double *rows) {
    size_t count = (size_t)c->load_count, freedoms = (size_t)(c->hoop->node_count * FREEDOMS);
    for (size_t i = 0; i < freedoms; i++)
        for (size_t k = 0; k < count; k++)
            c->shifts[k * freedoms + i] = rows[i * count + k];
}

static bool is_sound(struct hoop_stiffness stiffness) {
    return isfinite(stiffness.bending) && isfinite(stiffness.axial) && isfinite(stiffness.throat) &&
           stiffness.bending > 0 && stiffness.axial > 0 && stiffness.throat > 0;
}

const struct compliance *compliance_of(const struct hoop *hoop, struct hoop_stiffness stiffness,
                                       int parts, const struct algebra *algebra,
                                       struct arena *arena) {
    if (!is_sound(stiffness) || hoop->node_count < 3) return NULL;
    struct compliance *c = arena_one(arena, struct compliance);
    c->hoop = hoop;
    c->stiffness = stiffness;
    c->first_bearing = hoop->line_count;
    c->load_count = hoop->line_count + hoop->bearing_count;
    size_t count = (size_t)c->load_count, nodes = (size_t)hoop->node_count;
    c->matrix = arena_many(arena, double, count *count);
    c->rigid = arena_many(arena, double, RIGID_MOTIONS * hoop->bearing_count + 1);
    fill_rigid(c);
    if (parts & COMPLIANCE_MOMENTS) c->moments = arena_many(arena, double, count *nodes);
    if (parts & COMPLIANCE_SHIFTS) c->shifts = arena_many(arena, double, count *nodes *FREEDOMS);

    struct arena_mark mark = arena_mark(arena);
    struct projection p = {.hoop = hoop, .count = count};
    motion_sizes(hoop, p.sizes);
    for (int m = 0; m < RIGID_MOTIONS; m++)
        c->motion_square[m] = p.sizes[m] / hoop->node_count;
    p.parts = arena_many(arena, double, RIGID_MOTIONS *count);
    double *whole = arena_many(arena, double, nodes *FREEDOMS *count);
    double *rows = whole + FREEDOMS * count; /* without the held node */
    double *band = chain_band(hoop, stiffness, arena);
    put_loads(hoop, &p, rows);
    balance_pushes(c, &p, rows);
    int size = row_of(hoop->node_count, 0);
    bool solved = band_factor(algebra, band, size, HALF_BAND);
    if (solved) {
        band_solve(band, size, HALF_BAND, rows, c->load_count);
        if (parts & COMPLIANCE_MOMENTS) fill_moments(c, whole, p.parts);
        measure_motion(&p, rows);
        for (int i = 0; i < hoop->node_count; i++)
            for (int f = 0; f < FREEDOMS; f++)
                take_motion_off(&p, i, f, whole + (size_t)(i * FREEDOMS + f) * count);
        fill_matrix(c, whole);
        if (c->shifts != NULL) fill_shifts(c, whole);
    }
    arena_rewind(arena, mark);
    return solved ? c : NULL;
}
