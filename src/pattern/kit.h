/* What the shop brings: strings and benches. Lengths in mm, forces in N. */
#ifndef SELVAGE_PATTERN_KIT_H
#define SELVAGE_PATTERN_KIT_H

#include "frame/frame.h"

struct string {
    const char *name, *title;
    struct span span;
    double gauge;         /* 0 where not given, as with all below */
    const char *material; /* NULL where not said */
    struct span material_span;
    double density;             /* g/cm3 */
    double stretch, stretch_at; /* per cent, at this pull in N */
    double length;              /* of the set or reel */
    struct note_line *notes;
};

struct bench {
    const char *name, *title; /* NULL for the assumed bench */
    struct span span;
    int clamps[CLAMP_KINDS];
    bool clamps_given;
    double reach; /* from the frame to the tensioner */
    bool reach_given;
    const char *mount; /* NULL where not said */
    double step;       /* the smallest a tensioner can be set by, N; 0: as assumed for its unit */
    enum unit step_unit;
    double pace[PACES]; /* s for one of each */
    bool pace_given[PACES];
    struct note_line *notes;
};

/* Seconds for one move of each kind, for somebody with practice; assumed, in the order of enum
 * pace. */
#define ASSUMED_PACE                                                                               \
    { 180, 8, 16, 7, 3, 40, 4 }

/* mm from a knot to the tip of the string, for tying it. */
#define ASSUMED_TAIL 80.0

/* A bench that says nothing has these. */
enum { ASSUMED_FIXED_CLAMPS = 2, ASSUMED_STARTING_CLAMPS = 1, ASSUMED_REACH = 450 };

#endif
