/* The pattern as a model, stage by stage: what the author insists on, the legs, and what is derived
 * from them. Each stage fills its own part and reads those before it. Lengths in mm, forces in N,
 * times in s. Ends, holes and strands are named by their numbers in the frame and in `ends`. */
#ifndef SELVAGE_PATTERN_PATTERN_H
#define SELVAGE_PATTERN_PATTERN_H

#include "frame/frame.h"
#include "ground/arena.h"
#include "pattern/kit.h"
#include "pattern/rulebook.h"

enum { NO_END = -1 };

/* ---- legs: what the source says is done, with names bound ---- */

enum verb { DO_BOTH, DO_THREAD, DO_PULL };
enum weave_start { START_UNSTATED, START_OVER, START_UNDER };

/* Strands in a row, as one item of a leg names them. */
struct run {
    enum verb verb;
    int *strands;
    int count;
    enum side from_side; /* of the first strand only */
    enum place from_place;
    struct span from_span;
    enum weave_start first;
    struct span first_span;
    bool doubtful; /* a fault of its words is told: say no more of it */
};

enum leg_item_kind { LEG_RUN, LEG_START, LEG_TIE };

struct leg_item {
    enum leg_item_kind kind;
    struct run run;
    int number;       /* of the hole of a start or a tie ... */
    enum side side;   /* ... on this side; SIDE_UNSAID: where the end is */
    enum place place; /* ... at this place */
    bool clamped;     /* a start by clamp */
    struct span span;
};

/* A leg of one end; or of the two ends of the mains string in turn (`both`), whose runs are then
 * the first item for the end that begins and the second for the other. */
struct leg {
    bool both;
    enum end_name end, other;
    array_of(struct leg_item) items;
    int thread_ahead;
    int ahead_first, ahead_then; /* `both` only: pulls one end may lead by */
    struct span ahead_span;      /* where they are said; none where not */
    struct span span;
};

/* ---- intents: what must hold of the legs ---- */

struct strand_set {
    bool *has; /* by strand number */
    struct span span;
};

enum tension_target { TENSION_STRANDS, TENSION_LAST_PULLS, TENSION_OUTER_MAINS };

struct tension_rule {
    enum tension_target target;
    struct strand_set strands;
    int sign;               /* 0: a base; +1 or -1: a change */
    double amount;          /* N, or per cent of the base */
    enum unit unit;         /* as written */
    struct span span, line; /* its own words, and the whole line they stand in */
};

/* Who is to string a strand; without a span: anybody. */
struct for_end {
    int end;
    struct span span;
};

struct intents {
    int pieces;
    struct span pieces_span;
    struct word_side long_side; /* without a span: assumed */
    struct word_place crosses_from;
    struct strand_set skip; /* `has` NULL: none */
    struct word_place mains_from;
    bool ahead_given; /* a mains line without strands limits the lead */
    int ahead_first, ahead_then;
    struct span ahead_span;
    enum end_name begins;
    struct span begins_span;           /* none: the long or left end, and not insisted on */
    struct span around_span;           /* around the world; none: not asked for */
    array_of(struct strand_set) holds; /* pulled after all others; by line */
    struct for_end *by;                /* by strand; NULL: nothing is said */
    int crosses_by;    /* end for the crosses that are neither held nor skipped; NO_END: any */
    double loops_most; /* mm, where `loops_span` is given */
    struct span loops_span;
    int clamps_most[CLAMP_KINDS]; /* used at once, where the span is given */
    struct span clamps_span[CLAMP_KINDS];
    struct word_place finish_at; /* of the knot that is tied last */
    struct span find_span;       /* legs that are not written are to be found */
    enum aim aims[AIMS];         /* of that search, the weightiest first */
    struct span aims_span;       /* where they are said */
};

/* ---- acts: legs written out, in the order they are done ---- */

enum act_kind { ACT_THREAD, ACT_PULL, ACT_START, ACT_TIE };

struct act {
    enum act_kind kind;
    int end;
    int pass; /* of its end; ACT_THREAD and ACT_PULL */
    struct span span;
};

/* ---- routes ---- */

/* One strand as an end strings it. */
struct pass {
    int strand;
    int enter, leave; /* holes */
    enum side from_side;
    enum place from_place;
    struct span from_span;
    enum weave_start first; /* what the author states of it */
    struct span first_span;
    struct span thread_span, pull_span; /* where the legs say so */
    bool pulled;
};

struct knot {
    bool given;
    int number; /* as written; settled to `hole` with the route */
    enum side side;
    enum place place;
    int hole, around; /* hole, and the main it is tied round; NO_HOLE and NO_STRAND until settled */
    struct span span;
};

struct end {
    enum end_name name;
    enum side side; /* where its mains lie; SIDE_CENTRE for a cross string */
    int string;     /* which piece it belongs to: 0 or 1 */
    array_of(struct pass) passes;
    struct knot start, tie; /* a start only for the cross string */
    bool start_clamped;
    double arrive; /* arc of the hole the end is in after its last pass, for messages */
};

/* ---- loops ---- */

enum loop_kind { LOOP_FOLD, LOOP_START, LOOP_BETWEEN, LOOP_TIE };

struct loop {
    enum loop_kind kind;
    int end;      /* of a fold: the end that begins */
    int pass;     /* LOOP_BETWEEN: the pass it leads to; LOOP_TIE: the last one */
    int from, to; /* holes */
    bool clockwise;
    double length;  /* the arc along the inside */
    double outside; /* the same along the outside of the walls */
    int *passes;    /* the holes between, in the order the string meets them */
    int pass_count;
    enum lane lane;
    bool lane_matters; /* another loop begins or ends at a hole it passes, or lies across */
    int level;         /* 0 on the hoop; 1 over a loop of level 0; ... */
    int over;          /* how many loops lie inside its arc */
    struct span span;  /* of the leg that makes it */
};

/* ---- weave: the real crossings ---- */

struct crossing {
    int main, cross;
    bool main_over; /* in front, seen from the front */
};

/* ---- moves ---- */

enum move_kind {
    MOVE_THREAD,
    MOVE_WEAVE,
    MOVE_PULL,
    MOVE_REPULL,
    MOVE_CLAMP,
    MOVE_RELEASE,
    MOVE_TIE
};

struct move {
    enum move_kind kind;
    int end;
    int strand, enter, leave; /* NO_... where they do not apply */
    double tension;           /* pulls */
    enum clamp_kind clamp;    /* clamps and releases */
    int clamp_number;         /* from 1 within its kind */
    bool anchor;              /* a clamp that holds a side on which nothing is pulled yet */
    bool at_start;            /* a tie, clamp, repull or release at the start of a cross string */
    int hole, around;         /* ties */
    int first_met;            /* weave: the first strand already in the bed, on its way */
    bool first_over;          /* ... and whether the woven strand passes in front of it */
    struct span span;         /* of the leg it comes from */
};

/* What is done how often, by kind, and the time it takes. A clamp counts when it is set and when it
 * is taken off, a pull again as a pull; a change is where another end threads, pulls or ties than
 * the one before. */
struct work {
    int count[PACES];
    double time; /* s */
};

struct clamp_use {
    int used, first_move, last_move; /* how many at most; from and to which move */
};

/* ---- string to cut ---- */

struct cut {
    double strands, walls, crimp, loops, tail, reach, stretch;
    double bed; /* of it what stays in the racket, as it was cut: without tail and reach */
    double cut;
};

/* One piece of string. */
struct string_piece {
    const struct string *string; /* NULL where not said */
    double cut, fold;            /* mm; `fold` from the tip of its short or left end, 0: no fold */
    double left;                 /* of the set, after it and the pieces before; 0 where not known */
    double gauge;                /* mm, as given or as assumed */
    double weight;               /* g of what stays in the racket; 0 where not known */
};

struct pull_tension {
    double base, pull;                  /* N; 0 where the tension is not known */
    enum unit unit;                     /* of the base, as written */
    struct span base_span, change_span; /* the words that give it, the last that change it */
    struct span base_line;              /* the whole line of the first */
};

/* ---- what was assumed ---- */

struct assumption {
    const char *what;  /* "bench.reach" */
    const char *words; /* "450 mm to the tensioner"; NULL: said with the one before */
};

/* ---- the rules of play ---- */

enum play_matter {
    PLAY_LENGTH, /* of the racket */
    PLAY_WIDTH,
    PLAY_BED_LENGTH, /* between entry points */
    PLAY_BED_WIDTH,
    PLAY_THROAT,
    PLAY_AREA,
    PLAY_STRAND,
    PLAY_CENTRE,
    PLAY_CURVE,
    PLAY_MATERIAL,
    PLAY_WEAVE,
    PLAY_LAYERS
};

enum { ONLY_STRING = -1 };

/* One thing the rules of the sport speak of, and whether the pattern is beyond it. */
struct verdict {
    enum play_matter matter;
    const struct limit *limit;
    bool judged, beyond;
    double measured; /* in the unit of the limit */
    int which; /* PLAY_STRAND: the strand; PLAY_CENTRE: its kind; PLAY_MATERIAL: 0 or 1 for the
                  string of mains or crosses, ONLY_STRING for both */
    double inner, outer; /* PLAY_CENTRE: mean distances in the middle and in an outer third */
};

struct word_list {
    const char **at;
    size_t count, room;
};

struct play {
    const struct rulebook *book; /* NULL where the sport is not said or not known */
    array_of(struct verdict) verdicts;
    struct word_list judged, not_judged, beyond;
};

/* ---- findings, as far as they are told with the pattern ---- */

struct remark {
    const char *code, *severity, *title, *message;
    const char *file; /* NULL: no place; then line and column are 0 */
    size_t line, column;
};

/* ---- the whole ---- */

/* What a search for legs leaves besides them. */
struct found_legs {
    bool proved;             /* that none are better */
    struct span span;        /* of what was found: the line that asks for it */
    const char **why;        /* by leg; NULL for those that are written */
    enum place crosses_from; /* as they are strung; PLACE_UNSAID: nothing of it was found */
};

struct pattern {
    const char *name, *title;
    struct span span;      /* its name */
    struct span head_span; /* its head line */
    const struct frame *frame;
    bool mirrored;   /* its sides are exchanged: not as they are written */
    bool side_asked; /* the command said which sides; none is assumed */
    const struct string *mains_string, *crosses_string; /* NULL where not said */
    struct span string_span;   /* the line that says them; none where it is the command */
    const struct bench *bench; /* never NULL */
    double prestretch;         /* per cent */
    struct note_line *notes;
    struct intents intents;
    array_of(struct tension_rule) tension_rules;
    bool tension_damaged; /* a line of them could not be read: say nothing of what is missing */
    array_of(struct leg) legs;
    struct found_legs *found; /* NULL: all legs are written */

    struct end ends[3]; /* one piece: long, short; two pieces: left, right, cross */
    int end_count, string_count;
    array_of(struct act) acts;
    int *end_of, *pass_of; /* by strand: who strings it; NO_END where nobody does */
    bool *named;           /* by strand: whether any leg names it, rightly or not */
    array_of(struct loop) loops;
    struct pull_tension *tensions; /* by strand */
    array_of(struct crossing) crossings;
    array_of(struct move) moves;
    struct clamp_use clamps[CLAMP_KINDS];
    struct cut *cuts; /* by end */
    struct string_piece pieces[2];
    struct work work;
    array_of(struct assumption) assumed;
    struct play play;
    array_of(const struct remark *) remarks;
    const struct bed *bed; /* mechanics/bed.h: what its frame feels; NULL: not asked for */
    const char *not_felt;  /* why it cannot be told, where it was asked for; NULL */

    bool legs_sound; /* every leg could be read */
    bool laid;       /* acts stand */
    bool routed;     /* routes and loops stand */
    bool planned;    /* moves stand, and the replay agrees */
};

/* The end of a name, or NO_END where the pieces have none. */
int pattern_end(const struct pattern *pattern, enum end_name name);

/* The clamps of a kind that may be used at once: those of the bench, or fewer where so many are
 * asked for. */
int clamps_allowed(const struct pattern *pattern, enum clamp_kind kind);

/* Whether what stands at a place is of a leg that was found: there is none better. */
bool was_found(const struct pattern *pattern, struct span span);

/* Whether a strand waits for all that are not held. */
bool is_held(const struct pattern *pattern, int strand);

/* Nearer than this, in mm, two holes of a strand are a draw: where it is entered has to be said. */
#define LEAST_CHOICE_MM 1.0

/* Mains that one side is pulled beyond the other, at the most: common practice. */
enum { USUAL_LEAD = 3 };

/* Whether a loop of so many mm past so many holes is long: it hangs loose. */
bool loop_is_long(const struct frame *frame, double length, int passes);

/* A pull with which one end of the mains leads the other by more than is allowed. */
struct lead {
    const struct act *act;
    int lead, limit;
};

/* Whether any does, where `first` is allowed up to the first change of ends and `then` after it;
 * the centre main does not count. Needs acts. */
bool lead_beyond(const struct pattern *pattern, int first, int then, struct lead *lead);

/* The end that shares its piece with this one: the other end of a fold; NO_END for a cross string.
 */
int other_end(const struct pattern *pattern, int end);

/* "right 2H, right 5T": the holes where a knot of an end could be instead, of the tie-off holes
 * whose main is pulled by then and which no other knot is in. At most four, nearest to where the
 * end comes out (a start: goes in) first; none that lies across the hoop, or on the other side,
 * while there are nearer ones. NULL where there is none. Needs the route of the end. */
const char *knot_room_words(const struct pattern *pattern, struct arena *arena, int end,
                            const struct knot *knot);

/* By strand, whether it is pulled before the act of a number. */
const bool *pulled_by(const struct pattern *pattern, struct arena *arena, size_t act);

/* The string of an end; NULL where not said. */
const struct string *string_of_end(const struct pattern *pattern, int end);

/* The smallest amount a tensioner is set by, N: the bench's, or half a pound, a tenth of a
 * kilogram, one newton, by the unit of the tension. */
double tension_step(const struct pattern *pattern, enum unit unit);

/* A pull in N in whole steps of a tensioner: the nearest, halves up; none below it; none above.
 * What is a step but for rounding is that step. */
double step_nearest(double newton, double step);
double step_up(double newton, double step);
double step_down(double newton, double step);

/* The unit a tensioner is set in: that of the bench's step, else of the tension as written. */
enum unit pull_unit(const struct pattern *pattern, int strand);

/* The part of a limit by which a tension may pass it that is written in another unit than the
 * frame's range: it was converted and rounded. */
double conversion_slack(const struct pattern *pattern, int strand);

/* A knot gives some of the last pull back, so that pull may go this far beyond the range: a tenth.
 */
#define KNOT_ALLOWANCE 1.1

/* A strand's pull in N, rounded to that, halves up; but never out of the frame's range, nor for a
 * last pull over the allowance of knots, where the pull asked for keeps to it. Where a step leaves
 * no room between both ends of the range, the upper one counts. 0 where the tension is not known.
 */
double set_pull(const struct pattern *pattern, int strand);

/* Whether a strand is its end's last before a knot. */
bool pulled_before_knot(const struct pattern *pattern, int strand);

#endif
