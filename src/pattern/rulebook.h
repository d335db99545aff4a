/* What the rules of play of each sport say of a racket and its strings, as far as a pattern file
 * tells it. An unofficial reading: documents, clauses and editions stand beside the numbers in
 * rulebook.c. Lengths in mm, areas in cm2. */
#ifndef SELVAGE_PATTERN_RULEBOOK_H
#define SELVAGE_PATTERN_RULEBOOK_H

/* A number and where it stands. `clause` NULL: the rules say nothing of it. */
struct limit {
    double value; /* the most, but for `curve` the least */
    const char *clause;
};

/* What strings are made of, as far as rules tell it apart. */
enum substance {
    SUBSTANCE_UNKNOWN = 0,
    SUBSTANCE_GUT = 1,
    SUBSTANCE_PLASTIC = 2,
    SUBSTANCE_CARBON = 4,
    SUBSTANCE_METAL = 8,
    SUBSTANCE_FIBRE = 16 /* that grows, but for gut */
};

struct rulebook {
    const char *sport, *document, *edition;
    const char *bed;                          /* what the document calls the strung area */
    struct limit length, width;               /* of the racket */
    struct limit bed_length, bed_width;       /* between entry points */
    struct limit throat_length, throat_width; /* of a bed that reaches into the throat: the whole of
                                                 it, and what lies beyond `bed_length` */
    struct limit area;                        /* of the bed, cm2 */
    struct limit strand;                      /* the longest */
    struct limit curve;                       /* least radius of the outside of the frame */
    struct limit centre; /* how much wider apart strands may be in the centre, per cent: ours */
    struct limit weave, layers;
    struct limit material;
    const char *material_edition; /* where that was read in another; else NULL */
    unsigned substances;          /* those that strings may be made of */
    const char *const *untold;    /* what no pattern file tells; closed by NULL */
};

/* The rules of a sport; NULL where none are known. `sport` may be NULL. */
const struct rulebook *rulebook_of(const char *sport);

/* By the words between hyphens: metal where one of them is one, else the first that is known. */
enum substance substance_of(const char *material);

#endif
