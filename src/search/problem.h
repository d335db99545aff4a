/* A search's question: the strands, what is written of them, and the rules that count. Private to
 * search/. Lengths in thousandths of a mm. */
#ifndef SELVAGE_SEARCH_PROBLEM_H
#define SELVAGE_SEARCH_PROBLEM_H

#include "search/search.h"

enum { MOST_ENDS = 3 };

/* Lines that a search may keep to or set aside. Those that hold strands and those of legs, of which
 * there may be many, are counted on from here. */
enum wish {
    WISH_LONG_SIDE,
    WISH_CROSSES_FROM,
    WISH_MAINS_FROM,
    WISH_AHEAD,
    WISH_BEGINS,
    WISH_AROUND,
    WISH_LOOPS,
    WISH_FIXED,
    WISH_STARTING,
    WISH_FINISH,
    WISH_MAKER,      /* the frame's crosses from */
    WISH_SHORT_SIDE, /* the frame's */
    WISHES
};

int hold_wish(const struct pattern *pattern, size_t hold);
int leg_wish(size_t leg);
int wish_count(const struct pattern *pattern);

struct route_way;

/* Which lines count, and what is wanted. */
struct question {
    const struct route_way *only; /* of all ways only this; NULL: all */
    const bool *kept;             /* by wish; NULL: all */
    bool without_legs;            /* they are set aside for good */
    int64_t loops_most;  /* without a line on loops, loops up to this are allowed; 0: none long */
    const int *clamps;   /* by kind, instead of the bench's; NULL: those */
    bool any_lane;       /* two lanes and no guides */
    bool any_knot_hole;  /* every hole of a main has room for a knot */
    bool first_will_do;  /* whether there is any way, not the best */
    bool shortest_loops; /* the shortest longest loop before all else */
    long most_nodes;     /* states to be looked at */
};

/* What a written leg does at once: nothing found comes in between. */
struct stretch {
    int leg;                  /* of the pattern's */
    size_t first_item, items; /* of the leg; 0 items: the whole leg, of two ends */
    size_t first_act, acts;   /* of the acts of what is written */
};

/* A loop by its arc, clockwise. */
struct arc {
    int from, to, start, span; /* holes; `span` holes on from `start` it ends */
    int64_t length;
    enum lane lane; /* that guides ask for ... */
    bool torn;      /* ... and whether they ask for both */
};

struct problem {
    const struct pattern *pattern;
    const struct frame *frame;
    struct arena *arena;
    struct question question;

    int ends, mains_ends;
    bool free_knots[MOST_ENDS], free_start; /* whether tie and start are left to be found */
    bool *written, *held, *skipped;         /* by strand */
    int strands, unheld;
    int plain_mains; /* that nothing keeps for later */

    bool mirrored;               /* of two ways alike the other is taken than without */
    bool side_free;              /* the long end may lie on either side */
    enum place mains_from;       /* PLACE_UNSAID: either */
    enum place crosses_from;     /* PLACE_UNSAID: either */
    bool crosses_free;           /* some cross is left to be found, so that their order counts */
    int ahead_first, ahead_then; /* pulls one end may lead by */
    bool ahead_said;             /* holds for what is written too */
    int begins;                  /* the end that pulls the first main */
    bool long_is_longer;         /* the long end strings no less than the short one */
    bool around;
    int *by; /* by strand: the end that is to string it; NO_END: any */
    enum aim order[AIMS];
    enum place finish;  /* PLACE_UNSAID: either */
    bool *finishes;     /* by strand: whether the last knot can follow it; NULL: not asked */
    int finishing;      /* how many of them can */
    int64_t loops_most; /* -1: none is said */
    bool guided;        /* some hole has a guide */

    struct pattern scratch; /* what is written, with its acts */
    array_of(struct stretch) stretches;
    int *acts_left[MOST_ENDS]; /* by stretch: acts of an end from it on */
    int64_t *least_way;        /* by strand: no loop into it is shorter */
};

/* False where what is written does not hold together by itself; its findings are muted. */
bool pose_problem(struct problem *problem, const struct pattern *pattern, struct question question,
                  struct arena *arena);

/* Whether left and right can be exchanged: then what is best on one side is as good on the other.
 */
bool sides_are_alike(const struct frame *frame);

/* Whether a hole may take a found knot at all. */
bool may_take_knot(const struct problem *problem, int hole);

struct arc loop_arc(const struct frame *frame, int from, int to);
bool loop_is_legal(const struct problem *problem, const struct arc *loop);

/* One thing done on the way: a stretch, or a strand, a start or a knot that was found. */
enum token_kind { TOKEN_WRITTEN, TOKEN_STRAND, TOKEN_START, TOKEN_TIE };

struct token {
    enum token_kind kind;
    int end, strand; /* TOKEN_STRAND */
    int from, enter; /* holes: where the end was, NO_HOLE before it was anywhere; and the hole of a
                        strand, a start or a knot */
    int stretch;
    bool from_said; /* the hole is to be said: it is not the nearest by enough */
};

/* ways.c: what was found, the best first. */
struct route_way {
    int64_t cost[AIMS];
    struct token *tokens;
    int count;
    enum place mains_from, crosses_from;
    enum side long_side;
    uint64_t kind;
};

/* Copies a way into one that has room for its tokens. */
void copy_way(struct route_way *to, const struct route_way *way);

struct outcome {
    bool proved, complete; /* see search.h */
    long nodes;
    struct route_way *ways;
    int count;
};

/* Of a way of which nothing is written: each strand, a start and a knot for each end. */
static inline int most_tokens(const struct frame *frame) {
    return frame->strand_count + 2 * MOST_ENDS;
}

struct outcome search_routes(struct problem *problem, int most);

/* Where findings about what was found stand: the line that asks for it, else the pattern's name. */
struct span place_of_found(const struct pattern *pattern);

/* legs.c: a way's legs. Room for its memory is the arena of the problem. */
struct found_way way_as_legs(const struct problem *problem, const struct route_way *way);
/* Whether the bench's clamps suffice for it. */
bool way_has_clamps(const struct problem *problem, const struct route_way *way);

/* conflict.c: says why there is no way; `*left` as in find_legs. `others_took`: other patterns have
 * taken of it. */
void tell_conflict(const struct pattern *pattern, struct arena *arena, struct report *report,
                   long *left, bool others_took);

/* search.c: of what could not be settled for that. */
void note_others_took(struct report *report, struct finding *finding);

#endif
