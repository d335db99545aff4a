/* The spelling of the words of the trade, as the source writes them. */
#include "ground/terms.h"

const char *side_word(enum side side) {
    static const char *const words[] = {"", "left", "right", "centre"};
    return words[side];
}

const char *place_word(enum place place) {
    static const char *const words[] = {"", "head", "throat"};
    return words[place];
}

const char *lane_word(enum lane lane) {
    static const char *const words[] = {"", "front", "back"};
    return words[lane];
}

const char *clamp_word(enum clamp_kind kind) {
    static const char *const words[] = {"fixed", "starting"};
    return words[kind];
}

const char *aim_word(enum aim aim) {
    static const char *const words[] = {"late mains", "loops over", "longest loop", "loop length",
                                        "changes"};
    return words[aim];
}

const char *pace_word(enum pace pace) {
    static const char *const words[] = {"mount", "thread", "weave", "pull",
                                        "clamp", "tie",    "change"};
    return words[pace];
}

const char *end_word(enum end_name end) {
    static const char *const words[] = {"long", "short", "left", "right", "cross"};
    return words[end];
}

const char *unit_word(enum unit unit) {
    static const char *const words[UNITS] = {"",   "mm",       "cm",        "m",        "in",
                                             "lb", "kg",       "N",         "%",        "g/cm3",
                                             "s",  "N per mm", "kg per mm", "lb per mm"};
    return words[unit];
}
