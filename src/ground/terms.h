/* The words of the trade as values. Shared by the tree and the model; holds no behaviour but names.
 */
#ifndef SELVAGE_GROUND_TERMS_H
#define SELVAGE_GROUND_TERMS_H

/* Seen from the front, head up. The centre is the line through head and throat: M0, 0H and 0T. */
enum side { SIDE_UNSAID, SIDE_LEFT, SIDE_RIGHT, SIDE_CENTRE };
enum place { PLACE_UNSAID, PLACE_HEAD, PLACE_THROAT };
enum kind { MAIN, CROSS };
enum lane { LANE_UNSAID, LANE_FRONT, LANE_BACK };
enum clamp_kind { CLAMP_FIXED, CLAMP_STARTING, CLAMP_KINDS };

/* The working ends of the strings. One piece: long and short; two pieces: left, right and cross. */
enum end_name { END_LONG, END_SHORT, END_LEFT, END_RIGHT, END_CROSS, END_NAMES };

enum unit {
    UNIT_NONE,
    UNIT_MM,
    UNIT_CM,
    UNIT_M,
    UNIT_IN,
    UNIT_LB,
    UNIT_KG,
    UNIT_N,
    UNIT_PERCENT,
    UNIT_G_CM3,
    UNIT_S,
    UNIT_N_MM,
    UNIT_KG_MM,
    UNIT_LB_MM,
    UNITS
};

/* What takes time at the bench: mounting the frame and cutting, threading a strand that meets none,
 * weaving one, pulling, setting or taking off a clamp, tying off, going on with another end. */
enum pace {
    PACE_MOUNT,
    PACE_THREAD,
    PACE_WEAVE,
    PACE_PULL,
    PACE_CLAMP,
    PACE_TIE,
    PACE_CHANGE,
    PACES
};

/* What a better way to string a frame has less of, in the usual order. */
enum aim { AIM_LATE_MAINS, AIM_LOOPS_OVER, AIM_LONGEST_LOOP, AIM_LOOP_LENGTH, AIM_CHANGES, AIMS };

const char *aim_word(enum aim aim);
const char *pace_word(enum pace pace);
const char *side_word(enum side side);
const char *place_word(enum place place);
const char *lane_word(enum lane lane);
const char *clamp_word(enum clamp_kind kind);
const char *end_word(enum end_name end);
const char *unit_word(enum unit unit);

static inline enum side other_side(enum side side) {
    return side == SIDE_LEFT ? SIDE_RIGHT : side == SIDE_RIGHT ? SIDE_LEFT : side;
}

#endif
