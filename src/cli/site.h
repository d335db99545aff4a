/* The folder of a catalogue: what is written there, what is removed, and what is let be. A pattern
 * has a folder of its name in it, with its page and its outputs. */
#ifndef SELVAGE_CLI_SITE_H
#define SELVAGE_CLI_SITE_H

#include "cli/arguments.h"
#include "cli/manifest.h"
#include "cli/table.h"

struct site {
    const char *folder;
    char *part;             /* every file is written by way of this one */
    int lock;               /* -1: none */
    struct manifest before; /* what was made by the runs until now */
    struct table known;     /* patterns it made, or began to make */
    struct digest wanted;
    bool begun;   /* a manifest lies in the folder */
    bool stopped; /* nothing can be written there: it has been told, and need not be tried again */
    size_t written, unchanged, removed;
};

/* Makes and locks the folder and reads its manifest. Refused where the index would be written over
 * a page that no catalogue wrote. To be closed whatever comes back. */
enum exit_status site_open(struct site *site, const char *folder, struct digest wanted);
void site_close(struct site *site);

/* Whether all files of a pattern are there as they were written. */
bool site_holds(const struct site *site, const struct made *made);

/* Before files of a pattern are written: its folder, and a note that it may hold such files.
 * Refused where it holds files of their names that no catalogue wrote. */
enum exit_status site_begin(struct site *site, const char *name);

/* A file of a pattern, by number, or the index for a name of NULL. `text` is what the file is to
 * hold; `sources` are not written over. */
enum exit_status site_write(struct site *site, const struct files *sources, const char *name,
                            int page, struct selvage_text text);

/* What a file of a pattern holds; false where there is none. */
bool site_read(const struct site *site, struct files *files, const char *name, int page,
               struct selvage_text *text);

/* Removes what was made of patterns that are not among `names`, and says so; where the run is
 * `unsure` of what is gone it stays, and is remembered. Then keeps `now` as the manifest. */
enum exit_status site_finish(struct site *site, const struct files *sources,
                             const struct manifest *now, const struct table *names, bool unsure);

#endif
