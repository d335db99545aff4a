/* Searches with some of a pattern's lines only. Private to search/. */
#ifndef SELVAGE_SEARCH_INQUEST_H
#define SELVAGE_SEARCH_INQUEST_H

#include "ground/output.h"
#include "search/problem.h"

enum {
    MOST_LINES = 60,
    MOST_WISHES = 4, /* said by one line */
    MOST_WITNESSES = 12
};

struct line {
    int wishes[MOST_WISHES], count;
    struct span span;
    bool forbids; /* it allows nothing that is not allowed without it */
};

/* What is known of a set of lines, all others set aside. */
enum answer { THERE_IS_A_WAY, THERE_IS_NONE, NOT_KNOWN };

/* Lines as bits. */
typedef uint64_t line_set;

struct answered {
    line_set set;
    enum answer answer;
};

struct inquest {
    const struct pattern *pattern;
    struct arena *arena;
    struct line lines[MOST_LINES];
    int count;
    bool too_many; /* lines that are not among them are always kept */
    bool *kept;    /* by wish: of the question asked last */
    array_of(struct answered) answered;
    long nodes;                                 /* that may still be looked at */
    long *left;                                 /* the same by all searches of the text */
    long most_each;                             /* of each search */
    struct route_way witnesses[MOST_WITNESSES]; /* ways that were found; the first answered last */
    int witness_count;
    struct output helps; /* what would do instead, as it is put together */
};

/* Of a pattern that is known to have no way, the lines there are; `*left` as in find_legs. */
struct inquest *open_inquest(const struct pattern *pattern, struct arena *arena, long *left);

/* The searches to come may look at so much, together. */
void allow_nodes(struct inquest *q);

static inline line_set all_lines(const struct inquest *q) { return ((line_set)1 << q->count) - 1; }

static inline int size_of(line_set set) {
    int size = 0;
    for (; set != 0; set &= set - 1)
        size++;
    return size;
}

/* Whether there is a way with a set of lines; searched at most once. */
enum answer search_within(struct inquest *q, line_set set);

/* Nothing more is searched, as much as is allowed having been. */
bool is_spent(const struct inquest *q);

/* The same with something else changed too. Where `longest` is not NULL, a way with the shortest
 * longest loop is looked for, as far as a limited search goes, and its length, in thousandths of a
 * mm, stands there. */
enum answer search_with(struct inquest *q, line_set set, struct question question,
                        int64_t *longest);

#endif
