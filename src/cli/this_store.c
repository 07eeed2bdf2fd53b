/* SPDX-License-Identifier: MIT */
/* The store of this run. */
#include "cli.h"

#include <backcloth/store.h>

static bc_store *store; /* of this run */

bc_store *cli_store(void) {
  return store;
}

/* Without a store all is as with one, but slower: that is said, and no more. */
void cli_open_store(const cli *command_line, bool wanted) {
  store = NULL;
  if (!command_line->command->keeps || !wanted) return;
  if (bc_store_open(&store, command_line->context, NULL, 0) != BC_OK)
    cli_complain("%s", bc_context_message(command_line->context));
  bc_context_use_store(command_line->context, store);
}

void cli_close_store(void) {
  if (store && *bc_store_trouble(store)) cli_complain("%s", bc_store_trouble(store));
  bc_store_close(store);
  store = NULL;
}
