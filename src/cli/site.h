/* The folder of a catalogue: what is written there, what is removed, and what is let be. A pattern
 * has a folder of its name in it, with its page and its outputs. */
#ifndef SELVAGE_CLI_SITE_H
#define SELVAGE_CLI_SITE_H

#include "cli/arguments.h"
#include "cli/manifest.h"
#include "cli/wrote.h"

struct site {
    const char *folder;
    char *part;             /* every file is written by way of this one */
    int lock;               /* -1: none */
    struct manifest before; /* what was made by the runs until now */
    struct wrote wrote;     /* and by this one */
    struct digest wanted;
    bool begun;   /* a manifest lies in the folder */
    bool noted;   /* notes stand behind it */
    bool stopped; /* nothing can be written there: it has been told, and need not be tried again */
    size_t written, unchanged, removed, refused;
};

/* Makes and locks the folder and reads its manifest. Refused where the index would be written over
 * a page that no catalogue wrote. To be closed whatever comes back. */
enum exit_status site_open(struct site *site, const char *folder, struct digest wanted);
void site_close(struct site *site);

/* Whether all files of a pattern are there, as long as they were written. */
bool site_holds(const struct site *site, const struct made *made);

/* Before files of a pattern are written: its folder. Refused where it is a link, or holds files of
 * such names and no catalogue wrote its page. */
enum exit_status site_begin(struct site *site, const char *name);

/* A file of a pattern, by number, or the index for a name of "". `text` is what the file is to
 * hold; `sources` are not written over, nor is what is not as it was written: that is named, and
 * EXIT_USAGE. *wrote becomes what is to be remembered of the file. */
enum exit_status site_write(struct site *site, const struct files *sources, const char *name,
                            int page, struct selvage_text text, struct digest *wrote);

/* What a file of a pattern holds; false where there is none that is as it was written. */
bool site_read(const struct site *site, struct files *files, const char *name, int page,
               struct selvage_text *text);

/* Removes what was made of patterns that are not among `names`, and says so; where the run is
 * `unsure` of what is gone it stays, and is noted in `now`. Folders of pages that nothing is known
 * of are named. Then keeps `now` as the manifest. */
enum exit_status site_finish(struct site *site, const struct files *sources, struct manifest *now,
                             const struct table *names, bool unsure);

#endif
