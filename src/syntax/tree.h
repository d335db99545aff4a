/* The syntax tree: what the text says, line by line, with the place of every word.
 * Seen only by syntax/ and resolve/. It judges nothing: any line may stand in any block here. */
#ifndef SELVAGE_SYNTAX_TREE_H
#define SELVAGE_SYNTAX_TREE_H

#include "ground/arena.h"
#include "ground/source.h"
#include "ground/terms.h"

#include <stdbool.h>

struct tree_name {
    const char *text; /* NULL where none is given */
    struct span span;
};

struct tree_number {
    double value;
    enum unit unit;
    struct span span;
};

/* M3 or C12, as written. */
struct tree_strand {
    enum kind kind;
    int number;
    struct span span;
};

/* [side] M1..M6; `last` repeats `first` where no range is written. */
struct tree_strands {
    enum side side;
    struct tree_strand first, last;
    struct span span;
};

/* [side] 7H. */
struct tree_hole {
    enum side side;
    int number;
    enum place place;
    struct span span;
};

struct tree_word_side {
    enum side side;
    struct span span;
};

struct tree_word_place {
    enum place place;
    struct span span;
};

struct tree_word_end {
    enum end_name end;
    struct span span;
};

enum slot_kind { SLOT_STRANDS, SLOT_SHARED, SLOT_UNUSED };

struct tree_slot {
    enum slot_kind kind;
    union {
        struct tree_strands strands;
        struct tree_strand shared[2];
    };
    struct span span;
    struct tree_slot *next;
};

struct tree_at { /* "62 mm at 22 mm" and "1H at 6 mm" */
    struct tree_hole hole;
    struct tree_number value, at;
    struct tree_at *next;
};

struct tree_hole_list {
    struct tree_hole hole;
    struct tree_hole_list *next;
};

struct tree_strands_list {
    struct tree_strands strands;
    struct tree_strands_list *next;
};

struct tree_clamps {
    struct tree_number count;
    enum clamp_kind kind;
    struct tree_clamps *next;
};

enum bearing_word { BEARS_ALIKE, BEARS_INSIDE, BEARS_OUTSIDE }; /* the first: as the one before */

struct tree_bears { /* where a machine bears on the hoop */
    enum bearing_word bearing;
    struct tree_number clock;
    struct span span;
    struct tree_bears *next;
};

struct tree_pace {
    enum pace kind;
    struct tree_number seconds;
    struct span span;
    struct tree_pace *next;
};

struct tree_aim {
    enum aim aim;
    struct span span;
    struct tree_aim *next;
};

enum outline_word { OUTLINE_ELLIPSE, OUTLINE_SUPERELLIPSE, OUTLINE_STATIONS };

enum pull_target { PULL_ALL, PULL_MAINS, PULL_CROSSES, PULL_STRANDS, PULL_LAST, PULL_OUTER };

struct tree_pull {
    enum pull_target target;
    struct tree_strands strands;
    int sign; /* 0: a base; +1 or -1: a change */
    struct tree_number amount;
    struct span span;
    struct tree_pull *next;
};

enum option_kind { OPTION_PULL_AHEAD, OPTION_THREAD_AHEAD };

struct tree_option {
    enum option_kind kind;
    struct tree_number first, then; /* `then` without a place where it is not written */
    struct span span;
};

enum item_kind { ITEM_STRANDS, ITEM_START, ITEM_TIE, ITEM_OPTION };
enum item_verb { VERB_BOTH, VERB_THREAD, VERB_PULL };
enum start_kind { START_UNSAID, START_KNOT, START_CLAMP };
enum weave_word { WEAVE_UNSAID, WEAVE_OVER, WEAVE_UNDER };

struct tree_item {
    enum item_kind kind;
    union {
        struct { /* ITEM_STRANDS */
            enum item_verb verb;
            struct tree_strands strands;
            enum side from_side;
            enum place from_place;
            struct span from_span;
            enum weave_word first;
            struct span first_span;
        };
        struct { /* ITEM_START and ITEM_TIE */
            struct tree_hole hole;
            enum start_kind start;
        };
        struct tree_option option;
    };
    struct span span;
    struct tree_item *next;
};

/* A part after the comma of a "mains from" line. */
enum mains_part_kind { MAINS_STRANDS, MAINS_OPTION, MAINS_FIRST };

struct tree_mains_part {
    enum mains_part_kind kind;
    struct tree_strands strands;
    struct tree_option option;
    struct tree_word_end first;
    struct span span;
    struct tree_mains_part *next;
};

/* LINE(kind, "how it begins", blocks it may stand in, whether it may stand once only) */
#define TREE_LINES                                                                                 \
    LINE(SPORT, "sport", IN_FRAME, true)                                                           \
    LINE(INSIDE, "inside", IN_FRAME, true)                                                         \
    LINE(OVERALL, "overall", IN_FRAME, true)                                                       \
    LINE(OUTLINE, "outline", IN_FRAME, true)                                                       \
    LINE(WALL, "wall", IN_FRAME, true)                                                             \
    LINE(SQUEEZE, "squeeze", IN_FRAME, true)                                                       \
    LINE(HOLES, "holes", IN_FRAME, false)                                                          \
    LINE(TAPE, "tape", IN_FRAME, true)                                                             \
    LINE(TIE_OFF, "tie-off", IN_FRAME, true)                                                       \
    LINE(LANES, "lanes", IN_FRAME, true)                                                           \
    LINE(GUIDE, "guide", IN_FRAME, false)                                                          \
    LINE(SHORT_SIDE, "short side", IN_FRAME, true)                                                 \
    LINE(RANGE, "tension with a range", IN_FRAME, true)                                            \
    LINE(NOTE, "note", IN_FRAME | IN_STRING | IN_BENCH | IN_PATTERN, false)                        \
    LINE(GAUGE, "gauge", IN_STRING, true)                                                          \
    LINE(MATERIAL, "material", IN_STRING, true)                                                    \
    LINE(DENSITY, "density", IN_STRING, true)                                                      \
    LINE(STRETCH, "stretch", IN_STRING, true)                                                      \
    LINE(STIFFNESS, "stiffness", IN_STRING, true)                                                  \
    LINE(LENGTH, "length", IN_STRING, true)                                                        \
    LINE(CLAMPS, "clamps", IN_BENCH, true)                                                         \
    LINE(REACH, "reach", IN_BENCH, true)                                                           \
    LINE(STEP, "step", IN_BENCH, true)                                                             \
    LINE(PACE, "pace", IN_BENCH, true)                                                             \
    LINE(MOUNT, "mount", IN_BENCH, true)                                                           \
    LINE(DRAW_BACK, "draw-back", IN_BENCH, true)                                                   \
    LINE(PIECES, "pieces", IN_PATTERN, true)                                                       \
    LINE(STRING, "string", IN_PATTERN, true)                                                       \
    LINE(BENCH, "bench", IN_PATTERN, true)                                                         \
    LINE(PRESTRETCH, "pre-stretch", IN_PATTERN, true)                                              \
    LINE(TENSION, "tension", IN_PATTERN, false)                                                    \
    LINE(CROSSES, "crosses from", IN_FRAME | IN_PATTERN, true)                                     \
    LINE(MAINS, "mains from", IN_PATTERN, false)                                                   \
    LINE(AROUND, "around the world", IN_PATTERN, true)                                             \
    LINE(HOLD, "hold", IN_PATTERN, false)                                                          \
    LINE(LOOPS, "loops up to", IN_PATTERN, true)                                                   \
    LINE(FIXED_MOST, "fixed clamps", IN_PATTERN, true)                                             \
    LINE(STARTING_MOST, "starting clamps", IN_PATTERN, true)                                       \
    LINE(FINISH, "finish at", IN_PATTERN, true)                                                    \
    LINE(FIND, "find the rest", IN_PATTERN, true)                                                  \
    LINE(AIMS, "aims", IN_PATTERN, true)                                                           \
    LINE(LEG, "a leg", IN_PATTERN, false)                                                          \
    LINE(DAMAGED, "a line that could not be read", IN_FRAME | IN_STRING | IN_BENCH | IN_PATTERN,   \
         false)

enum block_mask { IN_FRAME = 1, IN_STRING = 2, IN_BENCH = 4, IN_PATTERN = 8 };

enum line_kind {
#define LINE(kind, words, blocks, once) LINE_##kind,
    TREE_LINES
#undef LINE
        LINE_KINDS
};

struct tree_line {
    enum line_kind kind;
    struct span span;
    struct tree_line *next;
    union {
        struct tree_name name;     /* sport, material, bench; note (its title) */
        struct tree_number number; /* wall, gauge, density, stiffness, length, reach, draw-back,
                                      lanes, pre-stretch, loops up to, the most clamps of a kind */
        struct {
            struct tree_number width, length;
        } inside, overall;
        struct {
            enum outline_word word;
            struct tree_number exponent, taper; /* `taper` without a place: none */
            struct tree_at *stations;
        } outline;
        struct {
            struct tree_word_side side;
            struct tree_word_place place;
            struct tree_slot *slots;
        } holes;
        struct tree_at *tape;
        struct tree_hole_list *tie_off;
        struct {
            struct tree_hole hole;
            enum lane lane;
        } guide;
        struct tree_word_side short_side; /* SIDE_UNSAID: either */
        struct {
            struct tree_number least, most; /* `least` takes the unit of `most` */
        } range;
        struct {
            struct tree_number percent, at;
        } stretch;
        struct {
            struct tree_number wide, length; /* `length` without a place: not said */
        } squeeze;
        struct tree_clamps *clamps;
        struct {
            struct tree_name name; /* or: */
            struct tree_bears *bears;
            struct tree_number stiffness; /* without a place: not said */
        } mount;
        struct tree_pace *pace;
        struct {
            int count; /* 1 or 2 */
            struct tree_word_side long_side;
        } pieces;
        struct {
            struct tree_name mains, crosses; /* the same name for one string */
        } string;
        struct tree_pull *tension;
        struct {
            struct tree_word_place from;
            struct tree_word_end by; /* without a place where it is not said */
            struct tree_strands_list *skip;
        } crosses;
        struct {
            struct tree_word_place from;
            struct tree_mains_part *parts;
        } mains;
        struct {
            struct tree_strands_list *strands;
            struct tree_word_end by; /* without a place: for later, by whoever */
        } hold;
        struct tree_word_place finish;
        struct tree_aim *aims;
        struct {
            struct tree_word_end end;
            struct tree_item *items;
        } leg;
    } as;
};

enum definition_kind { DEFINE_USE, DEFINE_FRAME, DEFINE_STRING, DEFINE_BENCH, DEFINE_PATTERN };

struct tree_definition {
    enum definition_kind kind;
    struct tree_name name; /* of `use`: its path */
    struct tree_name title, frame;
    struct tree_line *lines;
    struct span span, head;
    bool damaged; /* something in it could not be read: say nothing of what is missing */
    struct tree_definition *next;
};

struct tree {
    struct source *source;
    struct tree_definition *definitions;
    bool damaged;  /* something outside every block could not be read */
    bool given_up; /* beyond a limit: what follows, and what else is used, is not read */
};

#endif
