/* One source on its way through a verb: its files, its memory, its compilation. */
#ifndef SELVAGE_CLI_JOB_H
#define SELVAGE_CLI_JOB_H

#include "cli/arguments.h"
#include "cli/files.h"
#include "cli/memory.h"

#include <stdio.h>

struct job {
    const char *path;
    struct files files;
    struct selvage_text text; /* as read */
    struct memory *memory;
    selvage_compilation *compilation; /* NULL where the source could not be read */
};

/* Reads and compiles; the job must be ended whatever comes back. */
enum exit_status job_start(struct job *job, const struct arguments *arguments,
                           struct memory *memory, const char *path);
void job_end(struct job *job);

/* Errors and warnings as text to standard error, for the verbs that print something else; advice is
 * for check. */
enum exit_status job_print_findings(struct job *job, const struct arguments *arguments);

/* The pattern asked for by name, or the only one; a message where there is none such. */
enum exit_status job_find_pattern(const struct job *job, const char *name, size_t *pattern);

/* The names of the patterns there are, to standard error. */
void job_list_patterns(const struct job *job);

/* To a file, or to standard output where `to` is NULL or "-". */
enum exit_status job_write_output(const struct job *job, const char *to, struct selvage_text text);

/* What became of an output and of its file, told where that is not well. */
enum exit_status judge_result(const char *path, enum selvage_result result);
/* The same of outputs that may show what the frame feels: `text` says what is amiss there. */
enum exit_status judge_felt(const char *path, enum selvage_result result, struct selvage_text text);
enum exit_status judge_written(const char *path, enum written written);

/* "selvage: PATH: WHAT" to standard error; EXIT_FILES. */
enum exit_status complain(const char *path, const char *what);

enum exit_status worse(enum exit_status a, enum exit_status b);
bool print(FILE *stream, struct selvage_text text);
const char *plural(size_t count);

#endif
