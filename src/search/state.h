/* A search in progress: one state of the work, and what is known of others. Private to search/. */
#ifndef SELVAGE_SEARCH_STATE_H
#define SELVAGE_SEARCH_STATE_H

#include "search/clamps.h"
#include "search/problem.h"

enum { LANES = LANE_BACK + 1 };
enum { SET_WORDS = 4, MOST_LOOPS = 64 * SET_WORDS };

/* A set of loops, strands or holes, by number. */
struct set {
    uint64_t word[SET_WORDS];
};

static inline bool set_has(const struct set *set, int member) {
    return set->word[member / 64] >> member % 64 & 1;
}

static inline void set_add(struct set *set, int member) {
    set->word[member / 64] |= (uint64_t)1 << member % 64;
}

static inline void set_put(struct set *set, int member, bool in) {
    uint64_t bit = (uint64_t)1 << member % 64, *word = &set->word[member / 64];
    *word = in ? *word | bit : *word & ~bit;
}

/* Its first member; -1: it has none. */
static inline int set_first(const struct set *set) {
    for (int w = 0; w < SET_WORDS; w++) {
        if (set->word[w] == 0) continue;
        int member = 64 * w;
        while ((set->word[w] >> member % 64 & 0xFF) == 0)
            member += 8;
        while (!set_has(set, member))
            member++;
        return member;
    }
    return -1;
}

/* Of a word of a set, the members below one that is in the word or behind it. */
static inline uint64_t set_below(const struct set *set, int word, int member) {
    int bits = member - 64 * word;
    return bits < 64 ? set->word[word] & (((uint64_t)1 << bits) - 1) : set->word[word];
}

/* How far an end is with the crosses of a class. */
enum running { RUN_NONE, RUN_ON, RUN_OVER };
enum class { CLASS_PLAIN, CLASS_HELD, CLASSES };

struct worker {
    int where;         /* hole; NO_HOLE before it is anywhere */
    uint32_t way;      /* node of what it has strung */
    int strands;       /* threaded */
    int waiting;       /* threaded and not pulled */
    int mains;         /* it pulled, M0 not counted */
    int first;         /* hole its first strand was entered by; NO_HOLE */
    enum place begins; /* ... and its place, where that is a main */
    bool begins_written;
    enum running run[CLASSES];
    bool tied;
    bool as_written; /* what it did last is written */
};

struct state {
    struct worker ends[MOST_ENDS];
    struct set threaded, pulled, over;
    int64_t cost[AIMS];
    int64_t least_to_come; /* of loop length */
    int next[CLASSES];     /* of the crosses in order */
    int pulls, unheld_left, plain_mains_left, crosses_pulled, loops, tokens, stretch;
    int finishing_left;       /* strands that the last knot can follow, where that is asked */
    int pulls_written;        /* how many there were after what is written, so far */
    int last, last_tied;      /* ends; NO_END */
    int around[2];            /* by side: hole its outermost main was entered by; NO_HOLE */
    struct set knots;         /* holes */
    struct hold_states holds; /* where clamps may be short */
};

/* known.c: numbers by key. */
struct entry {
    uint64_t key[3];
    uint32_t value; /* 0: none stands here */
};

struct table {
    struct entry *at;
    size_t room, count;
};

/* The place of a key, its value 0 where it is new; NULL where it is new and there is no more room.
 */
struct entry *table_find(struct table *table, struct arena *arena, const uint64_t key[3]);

/* What a state still costs at the least, by aim; never to be whole: NO_WAY in all. */
struct least {
    int32_t by[AIMS];
};
static const int32_t NO_WAY = INT32_MAX;

/* Of an end at a hole, the holes it may enter a strand by. */
struct entries {
    int hole[2], count;
    bool draw;  /* the nearest is not nearer by enough: it has to be said */
    bool known; /* worked out already */
};

struct search {
    struct problem *problem;
    const struct frame *frame;
    struct arena *arena;
    enum place mains_from, crosses_from;
    enum side sides[MOST_ENDS]; /* of the ends of mains */
    int *order_of[CLASSES];     /* crosses in order */
    int crosses[CLASSES];
    int outermost[2];          /* by side */
    int mains_of_side[2];      /* by end: how many, M0 not counted */
    struct arc *arcs;          /* holes x holes; those of span 0 are not worked out yet */
    struct entries *entries;   /* holes x strands: those of what is found */
    int *mains_from_centre[2]; /* by end: from the centre outwards, M0 not among them */
    int centre;                /* M0; NO_STRAND */
    int *tie_offs, tie_off_count;
    int *free_skipped, free_skipped_count; /* crosses to be skipped that are left to be found */
    struct arc loops[MOST_LOOPS];
    struct set crossing[MOST_LOOPS]; /* by loop: those it interleaves with */
    struct set guided[LANES];        /* by lane: loops that guides ask to lie there */
    struct token *tokens;            /* of the state that is looked into */
    struct table nodes, states, measured;
    array_of(struct least) leasts; /* by the values of `measured`, see least.c */
    bool measuring;                /* loops count, how they lie to one another does not */
    bool measure;                  /* bounds are asked for */
    struct least *least;           /* of what is being measured: the least of its children */
    uint32_t next_node;
    int root; /* number of the beginning that is searched from */
    struct outcome *outcome;
    int clamps[CLAMP_KINDS];
    bool clamps_ran_out; /* of some way that was found */
    bool scarce;         /* what holds the ends is followed */
    bool runs_unbroken;  /* a run of crosses is over as soon as another end pulls */
    int most;
    bool stopped, cut_short, asked_for_any;
};

/* ---- known.c ---- */

/* The node of a way that goes on so; 0 where there is no room for it: it is not known again. */
uint32_t way_on(struct search *search, uint32_t way, int end, int strand, int hole);

/* Whether a state that is the same in all that is to come was looked into at no more late mains and
 * changes, which are all that states that are the same can differ in. */
bool is_known(struct search *search, const struct state *state);

/* ---- rules.c: what may be done; false where it breaks a rule, and the state is then of no use
 * ---- */

static inline const struct strand *strand_at(const struct search *search, int strand) {
    return &search->frame->strands[strand];
}

/* Which class a cross that keeps an order is of; CLASSES: it keeps none. */
enum class class_of(const struct search *search, int strand);

/* A main that nothing keeps for later. */
bool is_plain_main(const struct search *search, int strand);

/* A loop's arc, worked out once. */
const struct arc *arc_of(struct search *search, int from, int to);

/* The holes an end may enter a strand by; of what is found, those whose loop is allowed. */
struct entries entries_to(struct search *search, int end, int where, int strand);
struct entries found_entries(struct search *search, int end, int where, int strand);

/* Whether the pattern leaves a strand to an end. */
bool is_asked_of(const struct problem *problem, int end, int strand);

/* `found`: not written. */
bool thread(struct search *search, struct state *state, int end, int strand, int enter, bool found);
/* `enter` is the hole its strand was entered by. */
bool pull(struct search *search, struct state *state, int end, int strand, int enter, bool found);
bool tie(struct search *search, struct state *state, int end, int hole, bool found);
bool start(struct search *search, struct state *state, int end, int hole, bool found);

/* Whether a knot may be tied in a tie-off hole, where the string comes out of `leave`. */
bool takes_knot(const struct search *search, const struct state *state, int hole, int leave);
/* Whether the main that a written knot sits on stands by now; that it carries one, and has room, is
 * judged elsewhere. */
bool main_stands(const struct search *search, const struct state *state, int hole);

bool is_whole(const struct search *search, const struct state *state);
/* Whether the last knot lies where it is asked for. */
bool ends_as_asked(const struct search *search, const struct state *state);

/* ---- left.c ---- */

/* The next main of an end's own side from the centre outwards; NO_STRAND where there is none or it
 * is written. */
int next_main(const struct search *search, const struct state *state, int end);
bool has_main_to_string(const struct search *search, const struct state *state, int end);

/* Whether runs, knots and the pattern let an end string a cross that is found. */
bool may_string_cross(const struct search *search, const struct state *state, int end, int cross);

/* Whether it is plain that nothing whole comes of a state. */
bool is_dead_end(struct search *search, const struct state *state);

/* ---- next.c: everything that may be done next, each looked into ---- */

void expand_state(struct search *search, const struct state *state);

/* ---- least.c ---- */

/* By a walk through all that can come of it, how loops lie to one another left aside. */
struct least measure(struct search *search, const struct state *state);

/* Takes what has come of a step, whose cost counts from the state before it, into account there. */
void take_least(struct search *search, const struct state *state);

/* ---- ways.c ---- */

void look(struct search *search, const struct state *state);
long most_nodes(const struct search *search);

#endif
