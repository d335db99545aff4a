/* Every limit of the compiler in one place. A racket needs a small part of each. */
#ifndef SELVAGE_GROUND_LIMITS_H
#define SELVAGE_GROUND_LIMITS_H

enum {
    LIMIT_SOURCE_BYTES = 32 * 1024 * 1024, /* one text */
    LIMIT_ALL_BYTES = 64 * 1024 * 1024,    /* one text with all it uses */
    LIMIT_BLOCK_TOKENS = 5000,             /* of one definition */
    LIMIT_USE_DEPTH = 16,                  /* a file that uses a file that uses ... */
    LIMIT_NUMBER = 60,                     /* strands of a kind on one side, holes of one list */
    LIMIT_NAME_BYTES = 64,
    LIMIT_TITLE_BYTES = 200,
    LIMIT_DIGITS = 12,        /* of one number */
    LIMIT_CLAMPS = 8,         /* of one kind on a bench */
    LIMIT_STATIONS = 200,     /* of an outline */
    LIMIT_LEG_STRANDS = 2000, /* named by the legs of one pattern, repeats counted */
    LIMIT_AHEAD = 60,         /* pull or thread ahead */
    LIMIT_SHOWN = 20,         /* findings printed in one run */
    LIMIT_FINDINGS = 1000     /* findings kept in one run */
};

/* Memory one compilation may take before it is refused. */
#define LIMIT_MEMORY ((size_t)1024 * 1024 * 1024)

#endif
