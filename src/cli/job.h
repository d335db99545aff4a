/* What the verbs share: a source read and compiled, what is said of it, where an output goes. */
#ifndef SELVAGE_CLI_JOB_H
#define SELVAGE_CLI_JOB_H

#include "cli/arguments.h"
#include "cli/files.h"
#include "cli/memory.h"

#include <stdio.h>

/* One source on its way: its files, its memory, its compilation. */
struct job {
    const char *path;
    struct files files;
    struct selvage_text text; /* as read */
    struct memory *memory;
    selvage_compilation *compilation;
};

/* Reads and compiles; the job must be ended whatever comes back. */
enum exit_status job_start(struct job *job, const struct arguments *arguments,
                           struct memory *memory, const char *path);
void job_end(struct job *job);

/* Says what is wrong with a file, on standard error. */
enum exit_status complain(const char *path, const char *what);
enum exit_status worse(enum exit_status a, enum exit_status b);

bool print(FILE *stream, struct selvage_text text);
enum exit_status print_findings(struct job *job, FILE *stream);

/* Why an output could not be written, or done. */
enum exit_status judge_result(const char *path, enum selvage_result result);

/* Where a pattern was asked for by name, whether the text has it. */
enum exit_status find_pattern(const struct job *job, const char *name, size_t *pattern);

/* To a file, or to standard output where `to` is NULL or "-". */
enum exit_status write_output(const struct job *job, const char *to, struct selvage_text text);

#endif
