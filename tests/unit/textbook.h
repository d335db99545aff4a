/* The same job by the plainest way there is: the stiffness of the whole ring with every strand and
 * support in it as one full matrix, all of it set up and eliminated anew for every event. It shares
 * with the library the nodes and the stiffness of one element, and nothing else. */
#ifndef SELVAGE_TESTS_TEXTBOOK_H
#define SELVAGE_TESTS_TEXTBOOK_H

#include "mechanics/job.h"

#include <math.h>
#include <string.h>

struct textbook {
    const struct hoop *hoop;
    struct hoop_stiffness stiffness;
    const double *springs; /* by strand, N/mm */
    struct supports mount;
    int size;
    double *ring;   /* stiffness of the free ring and its ground */
    double *matrix; /* room for one more */
    double *load, *shift;
    double *lengths;
    bool *held, *taut, *touches;
    double *tensions, *forces; /* by strand, by support */
    bool mounted;
};

static inline void textbook_couple(double *matrix, int size, const int *at, const double *vector,
                                   int count, double stiffness) {
    for (int i = 0; i < count; i++)
        for (int k = 0; k < count; k++)
            matrix[at[i] * size + at[k]] += stiffness * vector[i] * vector[k];
}

/* Freedoms and directions of what draws a strand's holes together, or of a support's push. */
static inline int textbook_line(const struct textbook *t, int line, int *at, double *vector) {
    const struct hoop_line *l = &t->hoop->lines[line];
    for (int k = 0; k < 2; k++) {
        at[2 * k] = 3 * l->nodes[k];
        at[2 * k + 1] = 3 * l->nodes[k] + 1;
        vector[2 * k] = k == 0 ? l->along.x : -l->along.x;
        vector[2 * k + 1] = k == 0 ? l->along.y : -l->along.y;
    }
    return 4;
}

static inline int textbook_push(const struct textbook *t, int support, int *at, double *vector) {
    const struct bearing *b =
        &t->hoop->bearings[hoop_bearing(t->hoop, &t->mount.at[support])];
    at[0] = 3 * b->node;
    at[1] = 3 * b->node + 1;
    vector[0] = b->push.x;
    vector[1] = b->push.y;
    return 2;
}

static inline double textbook_way(const struct textbook *t, const int *at, const double *vector,
                                  int count) {
    double way = 0;
    for (int i = 0; i < count; i++)
        way += vector[i] * t->shift[at[i]];
    return way;
}

static inline struct textbook textbook_open(const struct hoop *hoop,
                                            struct hoop_stiffness stiffness,
                                            const double *string_axial, struct supports mount,
                                            struct arena *arena) {
    struct textbook t = {.hoop = hoop, .stiffness = stiffness, .mount = mount, .mounted = true};
    int n = hoop->node_count, strands = hoop->strand_count;
    t.size = 3 * n;
    t.ring = arena_many(arena, double, t.size *t.size);
    t.matrix = arena_many(arena, double, t.size *t.size);
    t.load = arena_many(arena, double, t.size);
    t.shift = arena_many(arena, double, t.size);
    t.lengths = arena_many(arena, double, strands + 1);
    t.held = arena_many(arena, bool, strands + 1);
    t.taut = arena_many(arena, bool, strands + 1);
    t.touches = arena_many(arena, bool, mount.count + 1);
    t.tensions = arena_many(arena, double, strands + 1);
    t.forces = arena_many(arena, double, mount.count + 1);
    double *springs = arena_many(arena, double, strands + 1);
    for (int i = 0; i < strands; i++)
        springs[i] = string_axial[i] / hoop->lines[i].length;
    t.springs = springs;
    for (int i = 0; i < n; i++) {
        double k[2 * FREEDOMS][2 * FREEDOMS];
        element_stiffness(hoop, stiffness, i, k);
        for (int a = 0; a < 6; a++)
            for (int b = 0; b < 6; b++) {
                int row = 3 * ((i + a / 3) % n) + a % 3, column = 3 * ((i + b / 3) % n) + b % 3;
                t.ring[row * t.size + column] += k[a][b];
            }
    }
    /* The ground: a spring of 0.001 N/mm shared among the nodes, against the mean motion
     * of the whole. */
    double *motion = arena_many(arena, double, t.size);
    for (int m = 0; m < 3; m++) {
        double square = 0;
        for (int i = 0; i < n; i++) {
            motion[3 * i] = m == 0 ? 1 : m == 2 ? -(hoop->nodes[i].y - hoop->middle.y) : 0;
            motion[3 * i + 1] = m == 1 ? 1 : m == 2 ? hoop->nodes[i].x - hoop->middle.x : 0;
            motion[3 * i + 2] = m == 2;
            for (int f = 0; f < 3; f++)
                square += motion[3 * i + f] * motion[3 * i + f];
        }
        for (int i = 0; i < t.size; i++)
            for (int k = 0; k < t.size; k++)
                t.ring[i * t.size + k] += 0.001 / n * motion[i] * motion[k] / square;
    }
    return t;
}

/* Gauss's elimination with the largest pivot of each column. */
static inline void textbook_eliminate(double *a, double *b, int n) {
    for (int j = 0; j < n; j++) {
        int largest = j;
        for (int i = j + 1; i < n; i++)
            if (fabs(a[i * n + j]) > fabs(a[largest * n + j])) largest = i;
        for (int k = j; k < n && largest != j; k++) {
            double kept = a[j * n + k];
            a[j * n + k] = a[largest * n + k];
            a[largest * n + k] = kept;
        }
        double kept = b[j];
        b[j] = b[largest];
        b[largest] = kept;
        for (int i = j + 1; i < n; i++) {
            double factor = a[i * n + j] / a[j * n + j];
            if (factor == 0) continue;
            for (int k = j; k < n; k++)
                a[i * n + k] -= factor * a[j * n + k];
            b[i] -= factor * b[j];
        }
    }
    for (int j = n - 1; j >= 0; j--) {
        for (int k = j + 1; k < n; k++)
            b[j] -= a[j * n + k] * b[k];
        b[j] /= a[j * n + j];
    }
}

/* Displacements and forces for one choice of what is taut and touches. */
static inline void textbook_solve(struct textbook *t, int pulled, double tension) {
    int at[4];
    double vector[4];
    memcpy(t->matrix, t->ring, sizeof(double) * (size_t)(t->size * t->size));
    memset(t->load, 0, sizeof(double) * (size_t)t->size);
    for (int i = 0; i < t->hoop->strand_count; i++) {
        double force = i == pulled ? tension : t->springs[i] * t->lengths[i];
        bool spring = i != pulled && t->held[i] && t->taut[i];
        if (!spring && i != pulled) continue;
        int count = textbook_line(t, i, at, vector);
        if (spring) textbook_couple(t->matrix, t->size, at, vector, count, t->springs[i]);
        for (int k = 0; k < count; k++)
            t->load[at[k]] += force * vector[k];
    }
    for (int i = 0; i < t->mount.count; i++) {
        if (!t->mounted || !t->touches[i]) continue;
        int count = textbook_push(t, i, at, vector);
        textbook_couple(t->matrix, t->size, at, vector, count, t->mount.at[i].stiffness);
    }
    textbook_eliminate(t->matrix, t->load, t->size);
    memcpy(t->shift, t->load, sizeof(double) * (size_t)t->size);
    for (int i = 0; i < t->hoop->strand_count; i++) {
        int count = textbook_line(t, i, at, vector);
        double force = t->springs[i] * (t->lengths[i] - textbook_way(t, at, vector, count));
        t->tensions[i] = i == pulled ? tension : t->held[i] ? force : 0;
    }
    for (int i = 0; i < t->mount.count; i++) {
        int count = textbook_push(t, i, at, vector);
        t->forces[i] =
            t->mounted ? -t->mount.at[i].stiffness * textbook_way(t, at, vector, count) : 0;
    }
}

/* Whether the choice is the right one: whatever is a spring draws or pushes, whatever is none would
 * do neither. */
static inline bool textbook_right(const struct textbook *t, int pulled) {
    for (int i = 0; i < t->hoop->strand_count; i++)
        if (t->held[i] && i != pulled &&
            (t->taut[i] ? t->tensions[i] < -1e-7 : t->tensions[i] > 1e-7))
            return false;
    for (int i = 0; i < t->mount.count; i++)
        if (t->mounted && (t->touches[i] ? t->forces[i] < -1e-7 : t->forces[i] > 1e-7))
            return false;
    return true;
}

/* Turns everything that is wrong at once, starting from all in touch; where that goes round in a
 * circle, one wrong thing after another. */
static inline bool textbook_settle(struct textbook *t, int pulled, double tension) {
    for (int i = 0; i < t->hoop->strand_count; i++)
        t->taut[i] = true;
    for (int i = 0; i < t->mount.count; i++)
        t->touches[i] = true;
    for (int round = 0; round < 100; round++) {
        bool one = round >= 10, turned = false;
        textbook_solve(t, pulled, tension);
        if (textbook_right(t, pulled)) return true;
        for (int i = 0; i < t->hoop->strand_count && !(one && turned); i++) {
            if (!t->held[i] || i == pulled || t->taut[i] == (t->tensions[i] > 0)) continue;
            t->taut[i] = !t->taut[i];
            turned = true;
        }
        for (int i = 0; i < t->mount.count && !(one && turned); i++) {
            if (t->touches[i] == (t->forces[i] > 0)) continue;
            t->touches[i] = !t->touches[i];
            turned = true;
        }
    }
    return false;
}

static inline void textbook_hold(struct textbook *t, int strand, double tension) {
    int at[4];
    double vector[4];
    int count = textbook_line(t, strand, at, vector);
    t->lengths[strand] = tension / t->springs[strand] + textbook_way(t, at, vector, count);
    t->held[strand] = true;
}

/* One event; NULL: the supports are taken away. */
static inline bool textbook_do(struct textbook *t, const struct event *event) {
    bool pull = event != NULL && event->kind == EVENT_PULL;
    if (event == NULL) t->mounted = false;
    if (event != NULL && !pull) t->lengths[event->strand] -= event->amount;
    bool settled = textbook_settle(t, pull ? event->strand : -1, pull ? event->amount : 0);
    if (pull) textbook_hold(t, event->strand, event->amount);
    for (int i = 0; i < t->hoop->strand_count; i++)
        if (t->tensions[i] < 0) t->tensions[i] = 0;
    return settled;
}

#endif
