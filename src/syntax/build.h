/* What the grammar's actions call: each makes one piece of the tree. Nothing is judged here.
 * Knows the tree and the parse in progress; no model. */
#ifndef SELVAGE_SYNTAX_BUILD_H
#define SELVAGE_SYNTAX_BUILD_H

#include "report/report.h"
#include "syntax/layout.h"
#include "syntax/tree.h"

/* Which block is being read, as far as lines are told apart by it. */
enum block_kind { BLOCK_OTHER, BLOCK_FRAME, BLOCK_PATTERN };

/* How far the scanner has come, which may be further than the parser. */
struct progress {
    uint32_t statement, definition; /* where those begin that were scanned last */
    int depth, last; /* open braces; the kind of the last word, of all but line feeds */
    bool ended;      /* a statement ended since */
    bool behind;     /* a word stands before in this line */
};

/* A parse in progress: scanner, parser and actions share it. */
struct syntax {
    struct arena *arena;
    struct report *report;
    struct source *source;
    struct tree *tree;
    struct tree_definition *last; /* of the tree's definitions */
    size_t definitions, comments;
    bool bad_line;         /* a fault of this line is told: say no more of its words */
    struct layout *layout; /* NULL: none is wanted */
    struct span previous;  /* the token before the one being parsed; none at a line's start */
    struct span first;     /* the first of its statement, where there is one before it */
    enum block_kind block;
    struct progress scanned;
};

struct tree_from {
    enum side side;
    enum place place;
    struct span span;
};

struct tree_weave {
    enum weave_word word;
    struct span span;
};

struct tree_target {
    enum pull_target target;
    const struct tree_strands *strands; /* of PULL_STRANDS */
};

/* Lists are handed on by their last member, whose `next` is the first; TREE_CLOSE opens the ring.
 * A single member stands for a list of one. */
#define TREE_APPEND(list, member)                                                                  \
    ((list) == NULL ? (member)                                                                     \
                    : ((member)->next = (list)->next != NULL ? (list)->next : (list),              \
                       (list)->next = (member), (member)))
#define TREE_CLOSE(type, first, list)                                                              \
    do {                                                                                           \
        type *ring_last = (list);                                                                  \
        (first) = ring_last != NULL && ring_last->next != NULL ? ring_last->next : ring_last;      \
        if (ring_last != NULL) ring_last->next = NULL;                                             \
    } while (0)

/* Copied at every step of the parser, so what is large is handed on by its place in the arena. */
union syntax_value {
    struct tree_name name;
    struct tree_number number;
    struct tree_strand strand;
    const struct tree_strands *strands;
    struct tree_hole hole;
    struct tree_word_side side;
    struct tree_word_place place;
    struct tree_word_end end;
    struct tree_from from;
    struct tree_weave weave;
    struct tree_target target;
    const struct tree_option *option;
    enum unit unit;
    enum lane lane;
    enum item_verb verb;
    enum start_kind start;
    int sign;
    struct tree_slot *slots;
    struct tree_at *ats;
    struct tree_hole_list *holes;
    struct tree_strands_list *strands_list;
    struct tree_clamps *clamps;
    struct tree_bears *bears;
    enum bearing_word bearing;
    struct tree_pace *paces;
    enum pace pace;
    struct tree_pull *pulls;
    enum aim aim;
    struct tree_aim *aims;
    struct tree_item *items;
    struct tree_mains_part *mains_parts;
    struct tree_line *lines;
};

#define no_name ((struct tree_name){0})
#define no_number ((struct tree_number){0})
#define no_side ((struct tree_word_side){0})
#define no_end ((struct tree_word_end){0})
#define no_hole ((struct tree_hole){0})
#define no_from ((struct tree_from){0})
#define no_weave ((struct tree_weave){0})
#define word_side(value, at) ((struct tree_word_side){(value), (at)})
#define word_place(value, at) ((struct tree_word_place){(value), (at)})
#define word_end(value, at) ((struct tree_word_end){(value), (at)})
#define word_weave(value, at) ((struct tree_weave){(value), (at)})
#define from_side(word, at) ((struct tree_from){(word).side, PLACE_UNSAID, (at)})
#define from_place(word, at) ((struct tree_from){SIDE_UNSAID, (word).place, (at)})
#define with_unit(number, unit, at) ((struct tree_number){(number).value, (unit), (at)})
#define target_of(value) ((struct tree_target){.target = (value)})
#define target_all target_of(PULL_ALL)
#define target_mains target_of(PULL_MAINS)
#define target_crosses target_of(PULL_CROSSES)
#define target_last target_of(PULL_LAST)
#define target_outer target_of(PULL_OUTER)
#define target_strands(value) ((struct tree_target){PULL_STRANDS, (value)})
#define tree_hole(side_word, hole, at)                                                             \
    ((struct tree_hole){(side_word).side, (hole).number, (hole).place, (at)})

/* The span of a rule from the spans of its parts; parts[0] stands before them. Empty parts are
 * passed over, so that a span begins and ends at a word. */
struct span syntax_span_of_parts(const struct span *parts, int count);

static inline struct span syntax_span(const struct span *parts, int count) {
    if (count == 0) return (struct span){parts[0].end, parts[0].end};
    bool words = parts[1].start < parts[1].end && parts[count].start < parts[count].end;
    return words ? (struct span){parts[1].start, parts[count].end}
                 : syntax_span_of_parts(parts, count);
}

void tree_define(struct syntax *syntax, enum definition_kind kind, struct tree_name name,
                 struct tree_name title, struct tree_name frame, struct tree_line *lines,
                 struct span span, struct span head);

struct tree_line *line_name(struct syntax *syntax, enum line_kind kind, struct span span,
                            struct tree_name name);
struct tree_line *line_number(struct syntax *syntax, enum line_kind kind, struct span span,
                              struct tree_number number);
struct tree_line *line_inside(struct syntax *syntax, struct span span, struct tree_number width,
                              struct tree_number length);
struct tree_line *line_outline(struct syntax *syntax, struct span span, enum outline_word word,
                               struct tree_number exponent, struct tree_number taper,
                               struct tree_at *stations);
struct tree_line *line_holes(struct syntax *syntax, struct span span, struct tree_word_side side,
                             struct tree_word_place place, struct tree_slot *slots);
struct tree_line *line_tape(struct syntax *syntax, struct span span, struct tree_at *tape);
struct tree_line *line_tie_off(struct syntax *syntax, struct span span,
                               struct tree_hole_list *holes);
struct tree_line *line_guide(struct syntax *syntax, struct span span, struct tree_hole hole,
                             enum lane lane);
struct tree_line *line_short_side(struct syntax *syntax, struct span span,
                                  struct tree_word_side side);
struct tree_line *line_range(struct syntax *syntax, struct span span, struct tree_number least,
                             struct tree_number most);
struct tree_line *line_stretch(struct syntax *syntax, struct span span, struct tree_number percent,
                               struct tree_number at);
struct tree_line *line_overall(struct syntax *syntax, struct span span, struct tree_number length,
                               struct tree_number width);
struct tree_line *line_squeeze(struct syntax *syntax, struct span span, struct tree_number wide,
                               struct tree_number length);
struct tree_line *line_mount(struct syntax *syntax, struct span span, struct tree_name name,
                             struct tree_bears *bears, struct tree_number stiffness);
struct tree_line *line_pace(struct syntax *syntax, struct span span, struct tree_pace *pace);
struct tree_line *line_clamps(struct syntax *syntax, struct span span, struct tree_clamps *clamps);
struct tree_line *line_pieces(struct syntax *syntax, struct span span, int count,
                              struct tree_word_side long_side);
struct tree_line *line_string(struct syntax *syntax, struct span span, struct tree_name mains,
                              struct tree_name crosses);
struct tree_line *line_tension(struct syntax *syntax, struct span span, struct tree_pull *pulls);
struct tree_line *line_crosses(struct syntax *syntax, struct span span, struct tree_word_place from,
                               struct tree_word_end by, struct tree_strands_list *skip);
struct tree_line *line_mains(struct syntax *syntax, struct span span, struct tree_word_place from,
                             struct tree_mains_part *parts);
struct tree_line *line_plain(struct syntax *syntax, enum line_kind kind, struct span span);
struct tree_line *line_hold(struct syntax *syntax, struct span span,
                            struct tree_strands_list *strands, struct tree_word_end by);
struct tree_line *line_finish(struct syntax *syntax, struct span span, struct tree_word_place at);
struct tree_line *line_aims(struct syntax *syntax, struct span span, struct tree_aim *aims);
struct tree_line *line_leg(struct syntax *syntax, struct span span, struct tree_word_end end,
                           struct tree_item *items);
struct tree_line *line_damaged(struct syntax *syntax, struct span span);

struct tree_strands *tree_strands(struct syntax *syntax, struct tree_word_side side,
                                  struct tree_strand first, struct tree_strand last,
                                  struct span span);
struct tree_option *tree_option(struct syntax *syntax, enum option_kind kind,
                                struct tree_number first, struct tree_number then,
                                struct span span);

struct tree_slot *slot_strands(struct syntax *syntax, struct span span,
                               const struct tree_strands *strands);
struct tree_slot *slot_shared(struct syntax *syntax, struct span span, struct tree_strand first,
                              struct tree_strand second);
struct tree_slot *slot_unused(struct syntax *syntax, struct span span);
struct tree_at *tree_at(struct syntax *syntax, struct tree_hole hole, struct tree_number value,
                        struct tree_number at);
struct tree_hole_list *tree_hole_list(struct syntax *syntax, struct tree_hole hole);
struct tree_strands_list *tree_strands_list(struct syntax *syntax,
                                            const struct tree_strands *strands);
struct tree_clamps *tree_clamps(struct syntax *syntax, struct tree_number count,
                                enum clamp_kind kind);
struct tree_bears *tree_bears(struct syntax *syntax, struct span span, enum bearing_word bearing,
                              struct tree_number clock);
struct tree_pace *tree_pace(struct syntax *syntax, struct span span, enum pace kind,
                            struct tree_number seconds);
struct tree_aim *tree_aim(struct syntax *syntax, struct span span, enum aim aim);
struct tree_pull *tree_pull(struct syntax *syntax, struct span span, struct tree_target target,
                            int sign, struct tree_number amount);
struct tree_mains_part *mains_strands(struct syntax *syntax, struct span span,
                                      const struct tree_strands *strands);
struct tree_mains_part *mains_option(struct syntax *syntax, struct span span,
                                     const struct tree_option *option);
struct tree_mains_part *mains_first(struct syntax *syntax, struct span span,
                                    struct tree_word_end end);
struct tree_item *item_strands(struct syntax *syntax, struct span span, enum item_verb verb,
                               const struct tree_strands *strands, struct tree_from from,
                               struct tree_weave weave);
struct tree_item *item_start(struct syntax *syntax, struct span span, struct tree_hole hole,
                             enum start_kind kind);
struct tree_item *item_tie(struct syntax *syntax, struct span span, struct tree_hole hole);
struct tree_item *item_option(struct syntax *syntax, struct span span,
                              const struct tree_option *option);

/* A word of the language used as a name. */
struct tree_name keyword_name(struct syntax *syntax, struct span span);

/* Something outside every block could not be read. */
void syntax_outside(struct syntax *syntax, struct span span);

/* The parser's own complaints; see complain.c. Words are as the grammar's token list spells them.
 */
void syntax_unexpected(struct syntax *syntax, struct span span, const char *found,
                       const char *const *expected, size_t count);

#endif
