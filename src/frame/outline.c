/* Outlines: both kinds are smooth curves cut into panels from head to throat, each looked at in
 * five places once; from these come arc length and area by Gauss-Lobatto quadrature and the
 * curvature by the polynomial through them. Places lie by a cubic inverse of the arc length in a
 * panel. */
#include "frame/outline.h"

#include <math.h>

enum { OVAL_PANELS = 48, PANELS_PER_SPAN = 12 };

static const double PI = 3.14159265358979323846;

/* A place on the curve and its derivative by the place in its panel, which runs from 0 to 1. */
struct place_on {
    struct point at, slope;
};

/* The oval in polar form round the middle of its length: r(angle) is smooth where the usual form
 * over powers of sine and cosine is not. */
static struct place_on oval_at(const struct outline *outline, int panel, double t) {
    double a = outline->width / 2, b = outline->length / 2, n = outline->exponent;
    double step = PI / OVAL_PANELS, angle = (panel + t) * step;
    double s = sin(angle), c = cos(angle); /* from the head: x = r s, y = b - r c */
    double sa = fabs(s) / a, cb = fabs(c) / b;
    double power_s = pow(sa, n - 1), power_c = pow(cb, n - 1);
    double sum = power_s * sa + power_c * cb;
    double r = pow(sum, -1 / n);
    double sum_slope =
        n * (power_s * c / a * (s < 0 ? -1 : 1) - power_c * s / b * (c < 0 ? -1 : 1));
    double r_slope = -r * sum_slope / (n * sum);
    double x = r * s, y = b - r * c;
    double x_slope = (r_slope * s + r * c) * step, y_slope = (r * s - r_slope * c) * step;
    double depth = y > b ? (y - b) / b : 0;
    double factor = 1 - outline->taper * depth * depth;
    double factor_slope = -2 * outline->taper * depth / b * y_slope;
    return (struct place_on){{x * factor, y}, {x_slope * factor + x * factor_slope, y_slope}};
}

/* The cubic of one span of the stations: squared half width and its slope by y. */
static double square_at(const struct outline *outline, int span, double y, double *slope) {
    double h = outline->heights[span + 1] - outline->heights[span];
    double t = (y - outline->heights[span]) / h;
    double p0 = outline->squares[span], p1 = outline->squares[span + 1];
    double m0 = outline->slopes[span] * h, m1 = outline->slopes[span + 1] * h;
    double c3 = 2 * p0 - 2 * p1 + m0 + m1, c2 = 3 * p1 - 3 * p0 - 2 * m0 - m1;
    *slope = (3 * c3 * t * t + 2 * c2 * t + m0) / h;
    return p0 + t * (m0 + t * (c2 + t * c3));
}

/* In the first and the last span y runs as the square of the parameter from the hoop's end, so that
 * the half width, a square root there, is smooth. */
static struct place_on stations_at(const struct outline *outline, int panel, double t) {
    int span = panel / PANELS_PER_SPAN, last = outline->station_count;
    double u = (panel % PANELS_PER_SPAN + t) / PANELS_PER_SPAN;
    double from = outline->heights[span], h = outline->heights[span + 1] - from;
    double y = from + h * u, y_slope = h;
    if (span == 0) {
        y = h * u * u;
        y_slope = 2 * h * u;
    } else if (span == last) {
        y = from + h * (1 - (1 - u) * (1 - u));
        y_slope = 2 * h * (1 - u);
    }
    double by_y, square = square_at(outline, span, y, &by_y);
    double x = sqrt(square > 0 ? square : 0);
    double x_slope;
    if (x > 1e-9)
        x_slope = by_y * y_slope / (2 * x);
    else /* at the very end x runs as sqrt(|slope| h) u */
        x_slope = (span == 0 ? 1 : -1) * sqrt(fabs(by_y) * h);
    return (struct place_on){{x, y}, {x_slope / PANELS_PER_SPAN, y_slope / PANELS_PER_SPAN}};
}

static struct place_on curve_at(const struct outline *outline, int panel, double t) {
    return outline->kind == OVAL ? oval_at(outline, panel, t) : stations_at(outline, panel, t);
}

/* No hoop needs the care that hypot takes of very large and very small numbers. */
static double size_of(struct point p) { return sqrt(p.x * p.x + p.y * p.y); }

enum { NODES = 5 };

/* The five places of a panel: nodes and weights of Gauss-Lobatto quadrature on 0 to 1, exact up to
 * degree seven (Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.32). */
static const double nodes[NODES] = {0, 0.172673164646011428, 0.5, 0.827326835353988572, 1};
static const double weights[NODES] = {1.0 / 20, 49.0 / 180, 16.0 / 45, 49.0 / 180, 1.0 / 20};

/* What each of them weighs in the derivative, at each, of the polynomial of degree four through
 * them. */
static const double derivative[NODES][NODES] = {
    {-10, 13.5130049774484800, -16.0 / 3, 2.82032835588485335, -1},
    {-2.48198050606196572, 0, 3.49148624377587810, -1.52752523165194667, 0.518019493938034284},
    {0.75, -2.67316915539090667, 0, 2.67316915539090667, -0.75},
    {-0.518019493938034284, 1.52752523165194667, -3.49148624377587810, 0, 2.48198050606196572},
    {1, -2.82032835588485335, 16.0 / 3, -13.5130049774484800, 10}};

/* Looks at a panel; its first place is the last of the panel before where one curve runs through.
 */
static void look_at_panel(const struct outline *outline, int panel, struct place_on *places) {
    bool joint = outline->kind == STATIONS && panel % PANELS_PER_SPAN == 0;
    bool runs_on = panel > 0 && !joint;
    if (runs_on) places[0] = places[NODES - 1];
    for (int i = runs_on; i < NODES; i++)
        places[i] = curve_at(outline, panel, nodes[i]);
}

static double curvature_of(struct point slope, struct point turn) {
    double speed = size_of(slope);
    return (slope.x * turn.y - slope.y * turn.x) / (speed * speed * speed);
}

/* The sharpest place met so far on the way down from the head. */
struct sharpest {
    double curvature;
    int panel, node;
};

static void look_for_sharper(struct sharpest *sharpest, int panel, const struct place_on *places) {
    for (int node = 0; node < NODES; node++) {
        struct point turn = {0, 0};
        for (int i = 0; i < NODES; i++) {
            turn.x += derivative[node][i] * places[i].slope.x;
            turn.y += derivative[node][i] * places[i].slope.y;
        }
        double curvature = curvature_of(places[node].slope, turn);
        if (curvature > sharpest->curvature) *sharpest = (struct sharpest){curvature, panel, node};
    }
}

/* By the derivative of the slope, taken from slopes a small way before and behind within the panel:
 * where panels meet the second derivative may jump. */
static double curvature_in(const struct outline *outline, int panel, double t) {
    static const double SMALL = 1e-3;
    t = fmin(fmax(t, SMALL), 1 - SMALL);
    struct point before = curve_at(outline, panel, t - SMALL).slope;
    struct point behind = curve_at(outline, panel, t + SMALL).slope;
    struct point turn = {(behind.x - before.x) / (2 * SMALL), (behind.y - before.y) / (2 * SMALL)};
    return curvature_of(curve_at(outline, panel, t).slope, turn);
}

/* Slopes that keep each span monotone: Fritsch and Carlson (1980), SIAM J. Numer. Anal. 17. */
static void fit_stations(struct outline *outline, struct arena *arena) {
    int points = outline->station_count + 2;
    outline->heights = arena_many(arena, double, points);
    outline->squares = arena_many(arena, double, points);
    outline->slopes = arena_many(arena, double, points);
    double *secants = arena_many(arena, double, points);
    for (int i = 0; i < outline->station_count; i++) {
        double half_width = outline->stations[i].half_width;
        outline->heights[i + 1] = outline->stations[i].y;
        outline->squares[i + 1] = half_width * half_width;
    }
    outline->heights[points - 1] = outline->length;
    for (int i = 0; i + 1 < points; i++)
        secants[i] = (outline->squares[i + 1] - outline->squares[i]) /
                     (outline->heights[i + 1] - outline->heights[i]);
    outline->slopes[0] = secants[0];
    outline->slopes[points - 1] = secants[points - 2];
    for (int i = 1; i + 1 < points; i++) {
        bool turns = secants[i - 1] * secants[i] <= 0;
        outline->slopes[i] = turns ? 0 : (secants[i - 1] + secants[i]) / 2;
    }
    for (int i = 0; i + 1 < points; i++) {
        if (secants[i] == 0) {
            outline->slopes[i] = outline->slopes[i + 1] = 0;
            continue;
        }
        double alpha = outline->slopes[i] / secants[i], beta = outline->slopes[i + 1] / secants[i];
        double size = hypot(alpha, beta);
        if (size <= 3) continue;
        outline->slopes[i] *= 3 / size;
        outline->slopes[i + 1] *= 3 / size;
    }
}

void outline_measure(struct outline *outline, struct arena *arena) {
    if (outline->kind == STATIONS) fit_stations(outline, arena);
    outline->panels =
        outline->kind == OVAL ? OVAL_PANELS : (outline->station_count + 1) * PANELS_PER_SPAN;
    outline->arcs = arena_many(arena, double, outline->panels + 1);
    outline->speeds = arena_many(arena, struct panel_speed, outline->panels);
    struct place_on places[NODES];
    struct sharpest sharpest = {0}, to_widest = {0};
    double half_area = 0, widest = 0;
    for (int panel = 0; panel < outline->panels; panel++) {
        look_at_panel(outline, panel, places);
        double length = 0;
        for (int i = 0; i < NODES; i++) {
            length += weights[i] * size_of(places[i].slope);
            half_area += weights[i] * places[i].at.x * places[i].slope.y;
        }
        outline->arcs[panel + 1] = outline->arcs[panel] + length;
        outline->speeds[panel] =
            (struct panel_speed){size_of(places[0].slope), size_of(places[NODES - 1].slope)};
        look_for_sharper(&sharpest, panel, places);
        if (places[NODES - 1].at.x < widest) continue;
        widest = places[NODES - 1].at.x;
        to_widest = sharpest;
    }
    bool bulges = to_widest.curvature > 0;
    outline->least_radius =
        1 / (bulges ? curvature_in(outline, to_widest.panel, nodes[to_widest.node]) : 0);
    outline->half_arc = outline->arcs[outline->panels];
    outline->area = 2 * half_area;
}

/* The place in a panel at an arc length within it: the cubic whose slopes at both ends are one over
 * the speed of the curve there. */
static double place_in(const struct outline *outline, int panel, double arc) {
    double length = outline->arcs[panel + 1] - outline->arcs[panel];
    double t = (arc - outline->arcs[panel]) / length;
    double m0 = length / outline->speeds[panel].from, m1 = length / outline->speeds[panel].to;
    return t * (m0 + t * (3 - 2 * m0 - m1 + t * (m0 + m1 - 2)));
}

static int panel_at(const struct outline *outline, double arc) {
    int low = 0, high = outline->panels;
    while (high - low > 1) {
        int middle = (low + high) / 2;
        if (outline->arcs[middle] <= arc)
            low = middle;
        else
            high = middle;
    }
    return low;
}

struct point outline_at(const struct outline *outline, double arc, struct point *outward) {
    if (arc < 0) arc = 0;
    if (arc > outline->half_arc) arc = outline->half_arc;
    int panel = panel_at(outline, arc);
    struct place_on place = curve_at(outline, panel, place_in(outline, panel, arc));
    if (outward != NULL) {
        double size = size_of(place.slope);
        bool steady = size > 0;
        /* Clockwise with y downwards: the outside lies to the left of the way. */
        outward->x = steady ? place.slope.y / size : 0;
        outward->y = steady ? -place.slope.x / size : -1;
    }
    return place.at;
}

double outline_curvature(const struct outline *outline, double arc) {
    arc = fmin(fmax(arc, 0), outline->half_arc);
    int panel = panel_at(outline, arc);
    return curvature_in(outline, panel, place_in(outline, panel, arc));
}
