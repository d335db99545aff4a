/* The files that words of the command line name: each itself, or for a folder every .slv below it,
 * in the order of their names. */
#ifndef SELVAGE_CLI_WALK_H
#define SELVAGE_CLI_WALK_H

#include <stdbool.h>
#include <stddef.h>

struct walk {
    char **words; /* closed by NULL */
    void *folders;
    bool any;  /* file in the folder at work */
    bool bare; /* a folder without any was met */
};

/* `words` is closed by NULL and stays the caller's. */
void walk_open(struct walk *walk, char **words);
void walk_close(struct walk *walk);

/* The next file, to be freed. *error becomes what keeps a name from being followed (errno), or 0.
 * A folder without any is told. NULL behind the last; NULL with an error where the walk cannot go
 * on. */
char *walk_next(struct walk *walk, int *error);

#endif
