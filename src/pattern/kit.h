/* What the shop brings: strings and benches, and what is known of both. Lengths in mm, forces in N.
 */
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
    double stiffness;           /* N: tension by relative extension */
    double length;              /* of the set or reel */
    struct note_line *notes;
};

/* How a string came to its stiffness: it is written, or is assumed: of
 * its material, or of nylon where that is not said or not known. */
enum stiffness_from { STIFFNESS_WRITTEN, STIFFNESS_MATERIAL, STIFFNESS_NYLON };

struct stiffness {
    double newton; /* the pull that would double its length, did it stay straight: E x A; never 0 */
    enum stiffness_from from;
};

/* N; no string has less or more. */
#define LEAST_STIFFNESS 500.0
#define MOST_STIFFNESS 100000.0

/* Of a string of this gauge; `string` may be NULL. Its stretch, which counts from slack on and
 * slowly, says nothing of it. */
struct stiffness stiffness_of(const struct string *string, double gauge);

/* g/cm3 as given, or of its material; 0 where neither is known. */
double density_of(const struct string *string);

/* A place where the machine bears on the hoop. */
struct mount_point {
    double clock; /* as on a clock face with the head at 12: more than 0, at most 12 */
    bool inside;
};

enum mount_kind {
    MOUNT_UNSAID,
    MOUNT_SIX_POINT,
    MOUNT_TWO_POINT,
    MOUNT_OWN,
    MOUNT_UNKNOWN,
    MOUNT_KINDS
};

struct mount {
    enum mount_kind kind;
    const struct mount_point *points; /* NULL where they are not known: unsaid, or unknown */
    int point_count;
    double stiffness; /* N/mm of each point; 0 where not said */
    struct span span;
};

/* "six-point", and that mount, its stiffness not said; of a kind that has no name NULL, and none.
 */
const char *mount_word(enum mount_kind kind);
struct mount mount_of(enum mount_kind kind);

struct bench {
    const char *name, *title; /* NULL for the assumed bench */
    struct span span;
    int clamps[CLAMP_KINDS];
    bool clamps_given;
    double reach; /* from the frame to the tensioner */
    bool reach_given;
    const char *mount; /* as written; NULL where not said */
    struct mount bearing;
    double draw_back; /* of the string where a clamp takes a strand over from the tensioner */
    bool draw_back_given;
    double step; /* the smallest a tensioner can be set by, N; 0: as assumed for its unit */
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
