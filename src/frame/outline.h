/* The inside of the hoop as a curve. Both halves mirror each other, so only the right one is kept:
 * from the head's centre line, clockwise, to the throat's. Lengths in mm. */
#ifndef SELVAGE_FRAME_OUTLINE_H
#define SELVAGE_FRAME_OUTLINE_H

#include "ground/arena.h"

#include <stdbool.h>

struct point {
    double x, y;
};

enum outline_kind { OVAL, STATIONS };

/* A half width at a distance from the head. */
struct station {
    double half_width, y;
};

struct panel_speed {
    double from, to;
};

struct outline {
    enum outline_kind kind;
    double width, length;   /* inside */
    double exponent, taper; /* OVAL: exponent 2 is an ellipse; taper as a fraction */
    struct station *stations;
    int station_count;

    /* Filled by outline_measure. */
    double half_arc;            /* from head to throat along one side */
    double area;                /* inside the whole hoop, mm2 */
    double *arcs;               /* arc length up to each panel of the curve, and the whole */
    struct panel_speed *speeds; /* arc length by the place in the panel, at both its ends */
    int panels;
    /* the smallest radius of curvature between the head and the widest place; infinite where
     * nothing bulges */
    double least_radius;
    double *squares, *slopes; /* STATIONS: squared half widths with both ends, and their slopes */
    double *heights;          /* STATIONS: their y */
};

/* Works out arc lengths and area. For OVAL: |x/a|^n + |(y-b)/b|^n = 1 with a and b half of width
 * and length, and for y > b the half width multiplied by 1 - taper ((y-b)/b)^2. For STATIONS: the
 * square of the half width is a monotone cubic through the stations, 0 at both ends, with slopes
 * after Fritsch and Carlson (1980), so that both ends are round. */
void outline_measure(struct outline *outline, struct arena *arena);

/* A point of the right half at `arc` from the head (0 to half_arc), and the unit normal there. */
struct point outline_at(const struct outline *outline, double arc, struct point *outward);

/* The curvature there, in 1/mm: one over the radius of the circle that fits best; positive where
 * the hoop bulges outwards. Where two spans of stations meet it is that of the later one. */
double outline_curvature(const struct outline *outline, double arc);

#endif
