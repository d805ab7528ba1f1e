"""The phone at the table: where devices find the service, and the code that pairs one."""
