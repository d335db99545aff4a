/* Every limit of the compiler in one place. A racket needs a small part of each. */
#ifndef SELVAGE_GROUND_LIMITS_H
#define SELVAGE_GROUND_LIMITS_H

enum {
    LIMIT_SOURCE_BYTES = 28 * 1024 * 1024, /* one text */
    LIMIT_ALL_BYTES = 28 * 1024 * 1024,    /* one text with all it uses */
    LIMIT_WORDS = 400000,                  /* of one text with all it uses, comments counted */
    LIMIT_DEFINITIONS = 2000,              /* of one text with all it uses */
    LIMIT_FILES = 256,                     /* used by one text and by those it uses */
    LIMIT_SETTINGS = 500,                  /* of severities, in comments */
    LIMIT_ROW_WORDS = 100000,  /* of definitions of one line that are laid out together */
    LIMIT_BLOCK_TOKENS = 5000, /* of one definition */
    LIMIT_BRACES = 100,        /* inside one another; only damaged texts have any */
    LIMIT_USE_DEPTH = 16,      /* a file that uses a file that uses ... */
    LIMIT_NUMBER = 60,         /* strands of a kind on one side, holes of one list */
    LIMIT_NAME_BYTES = 64,
    LIMIT_TITLE_BYTES = 200,
    LIMIT_DIGITS = 12,            /* of one number */
    LIMIT_CLAMPS = 8,             /* of one kind on a bench */
    LIMIT_STATIONS = 200,         /* of an outline */
    LIMIT_MOUNT_POINTS = 16,      /* where a machine bears on the hoop */
    LIMIT_LEG_STRANDS = 2000,     /* named by the legs of one pattern, repeats counted */
    LIMIT_SEARCH_ALL = 1000000,   /* states that the searches of one text look at ... */
    LIMIT_SEARCH_NODES = 1000000, /* ... and one of them; when those are used up, each */
    LIMIT_SEARCH_LATE = 400,
    LIMIT_SEARCH_STATES = 1 << 18, /* room for those a search knows again */
    LIMIT_AHEAD = 60,              /* pull or thread ahead */
    LIMIT_SHOWN = 20,              /* findings printed in one run */
    LIMIT_FINDINGS = 1000 /* findings kept in one run; a text with more is not read further */
};

/* Memory one compilation may take before it is refused: twice the largest text and a little. Its
 * findings have a part of their own, so that there is always room to say what was wrong. */
#define LIMIT_MEMORY ((size_t)68 * 1024 * 1024)
/* To lay a text out takes no tree, but it and what it becomes at once. */
#define LIMIT_LAYOUT_MEMORY ((size_t)256 * 1024 * 1024)
#define LIMIT_FINDINGS_MEMORY ((size_t)16 * 1024 * 1024)
/* What the outputs of a compilation may take besides, one after another. */
#define LIMIT_OUTPUT_MEMORY ((size_t)40 * 1024 * 1024)

#endif
