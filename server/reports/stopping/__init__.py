"""What a finding says where the answers decided when to stop: a sequential test."""
